#include "libmaturity/pose/pose_response.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "libmaturity/core/even_outline.h"
#include "libmaturity/pose/find_pose.h"
#include "libmaturity/pose/judge_pose.h"
#include "tests/shapes/invented_fruit.h"

namespace maturity {
namespace {

TEST(PoseResponse, AxisSpreadAgreesWithRepeatedDraws) {
  constexpr double kSd = 0.05;
  constexpr double kLength = 4.0;
  std::mt19937_64 random(31);
  std::vector<double> ratios;
  while (ratios.size() < 12) {
    auto parameters = shapes::random_parameters(random);
    parameters.waviness = 0.001;
    const auto fruit = shapes::invent_fruit(parameters, 120.0, 400, random);
    const OutlineTraits traits = outline_traits(even_outline(fruit.outline, kPosePoints));
    const Pose base = judge_pose(traits, {});
    if (base.axis_probability < 0.98) {
      continue;
    }
    const PoseResponse response = pose_response(traits, base, {});
    double variance = 0.0;
    for (std::size_t i = 0; i < kPosePoints; ++i) {
      for (std::size_t j = 0; j < kPosePoints; ++j) {
        const std::size_t apart =
            std::min(i > j ? i - j : j - i, kPosePoints - (i > j ? i - j : j - i));
        const double s = static_cast<double>(apart) * traits.step / kLength;
        variance += response.turn[i] * response.turn[j] * std::exp(-0.5 * s * s);
      }
    }
    double squares = 0.0;
    constexpr int kDraws = 250;
    for (int i = 0; i < kDraws; ++i) {
      const Pose pose = find_pose(shapes::with_edge_noise(fruit.outline, kSd, kLength, random), {});
      const double turn = base.axis.x() * pose.axis.y() - base.axis.y() * pose.axis.x();
      squares += turn * turn / kDraws;
    }
    ratios.push_back(kSd * std::sqrt(variance / squares));
  }
  std::sort(ratios.begin(), ratios.end());
  EXPECT_GT(ratios[6], 0.8);
  EXPECT_LT(ratios[6], 1.25);
}

TEST(PoseResponse, WhatAPersonStatedDoesNotMove) {
  const Polygon even = even_outline(shapes::ellipse(60.0, 45.0, 300), kPosePoints);
  PoseEvidence evidence;
  evidence.given_stem = Point(-60.0, 0.0);
  evidence.given_nose = Point(60.0, 0.0);
  const OutlineTraits traits = outline_traits(even);
  for (const double turn : pose_response(traits, judge_pose(traits, evidence), evidence).turn) {
    EXPECT_EQ(turn, 0.0);
  }
}

}  // namespace
}  // namespace maturity
