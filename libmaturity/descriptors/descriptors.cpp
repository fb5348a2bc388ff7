#include "libmaturity/descriptors/descriptors.h"

#include <algorithm>

namespace maturity {

namespace {

using D = Descriptor;

constexpr std::array<DescriptorInfo, kDescriptorCount> kRegistry{{
    {D::elongation, "elongation", "Length over width.", false, false, 0},
    {D::shoulder_fill_ventral, "shoulder_fill_ventral",
     "How full the shoulder on the beak side is; an ellipse has 0.614.", true, true, +1},
    {D::shoulder_fill_dorsal, "shoulder_fill_dorsal",
     "How full the shoulder on the back is; an ellipse has 0.614.", true, true, +1},
    {D::shoulder_fill, "shoulder_fill", "How full the two shoulders are; an ellipse has 0.614.",
     true, false, +1},
    {D::stem_hollow, "stem_hollow",
     "Depth of the hollow at the stem against its shoulders, over length; below 0 where it stands "
     "out.",
     true, false, +1},
    {D::shoulder_rise_ventral, "shoulder_rise_ventral",
     "How far the shoulder on the beak side stands before the stem point, over length.", true, true,
     +1},
    {D::shoulder_rise_dorsal, "shoulder_rise_dorsal",
     "How far the shoulder on the back stands before the stem point, over length.", true, true, +1},
    {D::nose_fill, "nose_fill", "How full the tip of the nose is; an ellipse has 0.614.", true,
     false, +1},
    {D::nose_roundness, "nose_roundness",
     "Radius of the disc that fits into the nose over that of the largest disc in the fruit.", true,
     false, +1},
    {D::beak_prominence, "beak_prominence",
     "How far the beak stands out from the edge beside it, over length.", true, true, -1},
    {D::beak_curvature, "beak_curvature",
     "Sharpest bend at the nose end on the beak side, times length.", true, true, -1},
    {D::sinus_depth, "sinus_depth",
     "Depth of the hollow above the beak that the beak itself does not make, over length.", true,
     true, 0},
    {D::end_balance, "end_balance",
     "Area of the stem half less that of the nose half, the ends left out, over the area.", true,
     false, -1},
    {D::cheek_asymmetry, "cheek_asymmetry",
     "Half-width on the beak side less that on the back, over width.", true, true, 0},
    {D::shoulder_asymmetry, "shoulder_asymmetry",
     "How much further the shoulder on the beak side reaches than the other, over length.", true,
     true, 0},
    {D::axis_asymmetry, "axis_asymmetry",
     "Area where the outline and its mirror image about the axis differ, over the area.", false,
     false, 0},
    {D::circularity, "circularity", "4 pi area over perimeter squared.", false, false, 0},
    {D::solidity, "solidity", "Area over the area of the convex hull.", false, false, 0},
    {D::turning_nose, "turning_nose",
     "Angle the outline turns through round the nose end, over half a turn.", true, false, 0},
    {D::fourier_taper, "fourier_taper",
     "Second harmonic of the width along the outline, over half the length.", true, false, -1},
    {D::fourier_squareness, "fourier_squareness",
     "Third harmonic of the width along the outline, over half the length.", false, false, 0},
    {D::fourier_asymmetry, "fourier_asymmetry",
     "What harmonics 2 to 6 differ between the two sides, over half the length.", false, false, 0},
}};

constexpr bool in_order() {
  for (std::size_t i = 0; i < kDescriptorCount; ++i) {
    if (static_cast<std::size_t>(kRegistry[i].descriptor) != i) {
      return false;
    }
  }
  return true;
}
static_assert(in_order(), "the registry follows the enumeration");

}  // namespace

std::span<const DescriptorInfo> descriptor_registry() { return kRegistry; }

std::string_view name(Descriptor descriptor) {
  return kRegistry[static_cast<std::size_t>(descriptor)].name;
}

std::optional<Descriptor> find_descriptor(std::string_view name) {
  const auto* found = std::find_if(kRegistry.begin(), kRegistry.end(),
                                   [&](const DescriptorInfo& info) { return info.name == name; });
  if (found == kRegistry.end()) {
    return std::nullopt;
  }
  return found->descriptor;
}

}  // namespace maturity
