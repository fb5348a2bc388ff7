#include "libmaturity/pipeline/shot_error.h"

#include <algorithm>
#include <array>

namespace maturity {

namespace {

using D = Descriptor;

struct ShotSd {
  Descriptor descriptor;
  double sd;
};

constexpr std::array<ShotSd, kDescriptorCount> kShotSds = {{
    {D::elongation, 0.011},
    {D::shoulder_fill_ventral, 0.0058},
    {D::shoulder_fill_dorsal, 0.0071},
    {D::shoulder_fill, 0.0058},
    {D::stem_hollow, 0.0021},
    {D::shoulder_rise_ventral, 0.0015},
    {D::shoulder_rise_dorsal, 0.0021},
    {D::nose_fill, 0.016},
    {D::nose_roundness, 0.033},
    {D::beak_prominence, 0.0022},
    {D::beak_curvature, 0.55},
    {D::sinus_depth, 0.0025},
    {D::end_balance, 0.002},
    {D::cheek_asymmetry, 0.0043},
    {D::shoulder_asymmetry, 0.004},
    {D::axis_asymmetry, 0.011},
    {D::circularity, 0.0032},
    {D::solidity, 0.0013},
    {D::turning_nose, 0.019},
    {D::fourier_taper, 0.0017},
    {D::fourier_squareness, 0.0022},
    {D::fourier_asymmetry, 0.0022},
}};

constexpr std::array<double, kDescriptorCount> by_descriptor() {
  std::array<double, kDescriptorCount> sds{};
  for (const ShotSd& one : kShotSds) {
    sds[static_cast<std::size_t>(one.descriptor)] = one.sd;
  }
  return sds;
}

constexpr std::array<double, kDescriptorCount> kByDescriptor = by_descriptor();

static_assert(std::ranges::all_of(kByDescriptor, [](double sd) { return sd > 0.0; }),
              "a descriptor has no spread between shots");

}  // namespace

double shot_sd(Descriptor descriptor) {
  return kByDescriptor[static_cast<std::size_t>(descriptor)];
}

}  // namespace maturity
