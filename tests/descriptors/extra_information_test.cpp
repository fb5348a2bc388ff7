#include "tests/descriptors/extra_information.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <random>

namespace maturity::shapes {
namespace {

using D = Descriptor;

constexpr double kEdgeMm = 0.3;  // as photos have, about half a pixel

// What the descriptors beside the listed ones add, on two kinds of invented fruit whose traits vary
// each by itself, is in docs/method/shape.md; asked for here of those that add on both.
TEST(ExtraInformation, AddedDescriptorsTellWhatTheListedOnesMiss) {
  std::mt19937_64 random(6);
  for (const Invent invent : {superellipse_fruit, curved_fruit}) {
    const std::vector<TraitFruit> fruit = many_fruit(invent, 600, 79);
    const std::vector<Descriptors> measured = measured_with_noise(fruit, kEdgeMm, random);
    for (const D added :
         {D::cheek_asymmetry, D::shoulder_asymmetry, D::axis_asymmetry, D::turning_nose,
          D::fourier_taper, D::fourier_squareness, D::fourier_asymmetry}) {
      const InformationGain gain = information_gain(added, fruit, measured);
      EXPECT_GT(gain.gain, 1.96 * gain.gain_se) << name(added) << " for " << gain.trait;
    }
    // Made wrong on purpose: one that is listed already tells nothing more.
    const InformationGain none = information_gain(D::nose_fill, fruit, measured);
    EXPECT_LT(none.gain, std::max(1e-6, 1.96 * none.gain_se)) << none.trait;
  }
}

TEST(ExtraInformation, EveryDescriptorIsListedOrAdded) {
  EXPECT_EQ(listed_descriptors().size() + added_descriptors().size(), kDescriptorCount);
}

}  // namespace
}  // namespace maturity::shapes
