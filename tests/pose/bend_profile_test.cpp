#include "libmaturity/pose/bend_profile.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "libmaturity/core/even_outline.h"
#include "libmaturity/pose/pose_evidence.h"
#include "tests/shapes/invented_fruit.h"

namespace maturity {
namespace {

/// An egg, nose at +x, with a bump of that height `beak_at` radians from the nose.
OutlineTraits egg(double sharper_nose, double beak_at, double beak) {
  Polygon p;
  for (int i = 0; i < 720; ++i) {
    const double t = 2.0 * std::numbers::pi * i / 720.0;
    const double bump =
        std::exp(-0.5 * std::pow(std::remainder(t - beak_at, 6.283185307) / 0.15, 2));
    const double r = 1.0 + beak * bump;
    p.emplace_back(60.0 * r * std::cos(t),
                   45.0 * r * std::sin(t) * (1.0 - sharper_nose * std::cos(t)));
  }
  return outline_traits(even_outline(p, kPosePoints));
}

BendProfile profile_of(const OutlineTraits& traits) {
  return bend_profile(traits, believe_stem(traits, Point(1.0, 0.0), {}));
}

TEST(BendProfile, NothingSpeaksOnAnEllipse) {
  const BendProfile profile = profile_of(egg(0.0, 0.8, 0.0));
  for (const double v : profile.sides) {
    EXPECT_NEAR(v, 0.0, 0.05);
  }
  for (const double v : profile.swings) {
    EXPECT_NEAR(v, 0.0, 0.05);
  }
  for (const double v : profile.ends) {
    EXPECT_NEAR(v, 0.0, 0.05);
  }
}

TEST(BendProfile, ASharperNoseBendsMoreAtTheTip) {
  EXPECT_GT(profile_of(egg(0.2, 0.8, 0.0)).ends.front(), 0.5);
  EXPECT_LT(profile_of(egg(-0.2, 0.8, 0.0)).ends.front(), -0.5);
}

TEST(BendProfile, ABeakMakesItsSideSwingAndMirroredTheOther) {
  const BendProfile plus = profile_of(egg(0.1, 0.8, 0.05));
  const BendProfile minus = profile_of(egg(0.1, -0.8, 0.05));
  for (std::size_t k = 0; k < kSwings.size(); ++k) {
    EXPECT_GT(plus.swings[k], 1.0);
    EXPECT_NEAR(plus.swings[k], -minus.swings[k], 0.3);
  }
  for (std::size_t k = 0; k < kSideBends; ++k) {
    EXPECT_NEAR(plus.sides[k], -minus.sides[k], 0.3);
  }
}

TEST(PoseSigns, SidesChangeSignAndEndsDoNot) {
  const OutlineTraits traits = egg(0.1, 0.8, 0.05);
  const PoseSigns signs = pose_signs(traits, believe_stem(traits, Point(1.0, 0.0), {}));
  const PoseSigns other = other_side(signs);
  for (std::size_t i = 0; i < kPoseSigns; ++i) {
    EXPECT_EQ(other[i], i < kFirstSideSign ? signs[i] : -signs[i]);
  }
  EXPECT_GT(pose_log_odds(signs), pose_log_odds(other) + 1.0);
  // Made wrong on purpose: the nose taken for the stem end must count for less.
  const PoseSigns exchanged = pose_signs(traits, believe_stem(traits, Point(-1.0, 0.0), {}));
  EXPECT_LT(std::max(pose_log_odds(exchanged), pose_log_odds(other_side(exchanged))),
            pose_log_odds(signs) - 1.0);
}

TEST(PoseSigns, ThirdMomentsTurnWithTheAxis) {
  // Turned outlines give the same signs: the moments are turned, not summed again.
  std::mt19937_64 random(8);
  const auto fruit = shapes::invent_fruit({}, 120.0, 500, random);
  const auto turned = shapes::placed(fruit, 2.1, false, Point(30.0, -70.0));
  const auto signs_of = [](const shapes::InventedFruit& f) {
    const OutlineTraits traits = outline_traits(even_outline(f.outline, kPosePoints));
    return pose_signs(traits, believe_stem(traits, (f.nose - f.stem).normalized(), {}));
  };
  const PoseSigns a = signs_of(fruit);
  const PoseSigns b = signs_of(turned);
  for (std::size_t i = 0; i < kPoseSigns; ++i) {
    EXPECT_NEAR(a[i], b[i], 1e-6) << i;
  }
}

}  // namespace
}  // namespace maturity
