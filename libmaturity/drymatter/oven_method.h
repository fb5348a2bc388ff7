#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace maturity {

/// How samples were dried: kept with every value, since dry matter depends on it.
struct OvenMethod {
  /// As the user writes it, for instance "air oven", "vacuum oven", "microwave".
  std::string dryer;
  std::optional<double> temperature_c;
  std::optional<double> hours;
  std::optional<double> balance_step_g;
  std::optional<bool> skin_on;
  std::string cheek;
  /// The end rule in words, for instance "2 weights within 0.01 g, 1 h apart".
  std::string end_rule;
};

/// What to look at before the values are compared with others. Doubts, not errors.
enum class MethodDoubt {
  /// Above 105 degrees C: sugars char and more than water is lost (common practice, no source).
  hot,
  /// Below 50 degrees C: drying to constant mass takes days (common practice, no source).
  cool,
  /// Microwave drying of live plant samples read 3 to 40 % off with handling and charring
  /// (McCreight 1981, USDA Forest Service Res. Note PSW-349, READ).
  microwave,
  /// Neither time nor end rule known: it cannot be told whether the sample was dry.
  no_end
};
std::string_view name(MethodDoubt doubt);
std::string_view sentence(MethodDoubt doubt);

/// Doubts about a method, in the order of the enumeration. Throws std::invalid_argument for a
/// temperature outside 20..300 degrees C, hours <= 0 or a balance step <= 0.
std::vector<MethodDoubt> doubts(const OvenMethod& method);

/// True where two records describe the same way of drying (dryer, temperature, skin, end rule).
bool comparable(const OvenMethod& one, const OvenMethod& other);

}  // namespace maturity
