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

constexpr double kSd = 0.15;
constexpr double kLength = 3.0;

/// Spread of the axis that a response states for errors of kSd.
double stated_turn(const PoseResponse& response, double step) {
  double variance = 0.0;
  for (std::size_t i = 0; i < kPosePoints; ++i) {
    for (std::size_t j = 0; j < kPosePoints; ++j) {
      const std::size_t between = i > j ? i - j : j - i;
      const double s =
          static_cast<double>(std::min(between, kPosePoints - between)) * step / kLength;
      variance += response.turn[i] * response.turn[j] * std::exp(-0.5 * s * s);
    }
  }
  return std::hypot(kSd * std::sqrt(variance), response.stem_scatter.turn,
                    response.nose_scatter.turn);
}

double drawn_turn(const Polygon& outline, const Pose& base, std::mt19937_64& random) {
  double squares = 0.0;
  double sum = 0.0;
  constexpr int kDraws = 400;
  for (int i = 0; i < kDraws; ++i) {
    const Pose pose = find_pose(shapes::with_edge_noise(outline, kSd, kLength, random), {});
    const double turn = base.axis.x() * pose.axis.y() - base.axis.y() * pose.axis.x();
    squares += turn * turn / kDraws;
    sum += turn / kDraws;
  }
  return std::sqrt(squares - sum * sum);
}

TEST(PoseResponse, AxisSpreadAgreesWithRepeatedDraws) {
  std::mt19937_64 random(31);
  std::vector<double> ratios;
  std::vector<double> of_first_order;
  while (ratios.size() < 20) {
    auto parameters = shapes::random_parameters(random);
    parameters.waviness = 0.001;
    const auto fruit = shapes::invent_fruit(parameters, 120.0, 400, random);
    const OutlineTraits traits = outline_traits(even_outline(fruit.outline, kPosePoints));
    const Pose base = judge_pose(traits, {});
    if (base.axis_probability < 0.98) {
      continue;
    }
    const double drawn = drawn_turn(fruit.outline, base, random);
    ratios.push_back(stated_turn(pose_response(traits, base, {}, {kSd, kLength}), traits.step) /
                     drawn);
    // Errors so small that nothing bends: what a blunt nose makes of them is far off.
    constexpr double kSmall = 1e-4;
    PoseResponse small = pose_response(traits, base, {}, {kSmall * kSd, kLength});
    small.stem_scatter.turn /= kSmall;
    small.nose_scatter.turn /= kSmall;
    of_first_order.push_back(stated_turn(small, traits.step) / drawn);
  }
  const auto within = [](const std::vector<double>& all) {
    return std::count_if(all.begin(), all.end(), [](double r) { return r > 0.8 && r < 1.2; });
  };
  EXPECT_EQ(within(ratios), 20);
  EXPECT_LT(within(of_first_order), 18);
  std::nth_element(ratios.begin(), ratios.begin() + 10, ratios.end());
  EXPECT_NEAR(ratios[10], 1.0, 0.05);
}

TEST(PoseResponse, WhatAPersonStatedDoesNotMove) {
  const Polygon even = even_outline(shapes::ellipse(60.0, 45.0, 300), kPosePoints);
  PoseEvidence evidence;
  evidence.given_stem = Point(-60.0, 0.0);
  evidence.given_nose = Point(60.0, 0.0);
  const OutlineTraits traits = outline_traits(even);
  for (const double turn :
       pose_response(traits, judge_pose(traits, evidence), evidence, {0.1, 3.0}).turn) {
    EXPECT_EQ(turn, 0.0);
  }
}

}  // namespace
}  // namespace maturity
