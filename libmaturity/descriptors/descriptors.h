#pragma once

#include <array>
#include <cstddef>
#include <limits>
#include <optional>
#include <span>
#include <string_view>

namespace maturity {

/// Raised whenever a definition changes: a calibration made with other definitions is refused.
inline constexpr int kDescriptorsVersion = 5;

/// The shape descriptors, all free of scale. The definition of each is in the header of its own
/// name in this folder.
enum class Descriptor : std::size_t {
  elongation,
  shoulder_fill_ventral,
  shoulder_fill_dorsal,
  shoulder_fill,
  stem_hollow,
  shoulder_rise_ventral,
  shoulder_rise_dorsal,
  nose_fill,
  nose_roundness,
  beak_prominence,
  beak_curvature,
  sinus_depth,
  end_balance,
  cheek_asymmetry,
  shoulder_asymmetry,
  axis_asymmetry,
  circularity,
  solidity,
  turning_nose,
  fourier_taper,
  fourier_squareness,
  fourier_asymmetry
};

inline constexpr std::size_t kDescriptorCount = 22;

/// What one descriptor is, for tables, column heads and documentation.
struct DescriptorInfo {
  Descriptor descriptor;
  std::string_view name;
  /// One plain sentence.
  std::string_view meaning;
  /// True when it cannot be told without knowing the stem end.
  bool needs_end;
  /// True when it cannot be told without knowing the beak side.
  bool needs_side;
  /// +1 or -1: rises or falls as fruit fill, by common practice (no published source); 0: not said.
  int with_maturity;
};

/// All descriptors in the order of the enumeration.
std::span<const DescriptorInfo> descriptor_registry();

std::string_view name(Descriptor descriptor);

/// Empty when no descriptor has that name.
std::optional<Descriptor> find_descriptor(std::string_view name);

/// Values and standard errors of one outline; NaN where not defined.
struct Descriptors {
  std::array<double, kDescriptorCount> value = all_undefined();
  std::array<double, kDescriptorCount> se = all_undefined();

  double& operator[](Descriptor d) { return value[static_cast<std::size_t>(d)]; }
  double operator[](Descriptor d) const { return value[static_cast<std::size_t>(d)]; }
  double& error(Descriptor d) { return se[static_cast<std::size_t>(d)]; }
  double error(Descriptor d) const { return se[static_cast<std::size_t>(d)]; }

  static constexpr std::array<double, kDescriptorCount> all_undefined() {
    std::array<double, kDescriptorCount> none{};
    none.fill(std::numeric_limits<double>::quiet_NaN());
    return none;
  }
};

}  // namespace maturity
