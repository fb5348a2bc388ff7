#include "libmaturity/pose/pose_response.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "libmaturity/core/even_outline.h"
#include "libmaturity/pose/find_pose.h"
#include "libmaturity/pose/judge_pose.h"
#include "tests/sanitized.h"
#include "tests/shapes/edge_waves.h"
#include "tests/shapes/invented_fruit.h"
#include "tests/shapes/one_cultivar.h"

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
  const shapes::EdgeWaves waves(outline, kLength);
  for (int i = 0; i < kDraws; ++i) {
    const Pose pose = find_pose(waves.draw(kSd, random), {});
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

struct Moments {
  double mean = 0.0;
  double sd = 0.0;
  double fourth = 0.0;
};

Moments moments(const std::vector<double>& all) {
  Moments found;
  const auto count = static_cast<double>(all.size());
  for (const double one : all) {
    found.mean += one / count;
  }
  double squares = 0.0;
  for (const double one : all) {
    squares += (one - found.mean) * (one - found.mean) / count;
  }
  for (const double one : all) {
    found.fourth += std::pow(one - found.mean, 4) / (count * squares * squares);
  }
  found.sd = std::sqrt(squares);
  return found;
}

TEST(PoseResponse, TurnsOnABluntNoseAgreeWithRepeatedDraws) {
  std::mt19937_64 random(8);
  const std::size_t wanted = kSanitized ? 1 : 12;
  std::size_t blunt = 0;
  std::size_t parabola_within = 0;
  std::vector<double> fourth;
  for (const shapes::TraitFruit& one : shapes::many_fruit(shapes::superellipse_fruit, 200, 8)) {
    const OutlineTraits traits = outline_traits(even_outline(one.fruit.outline, kPosePoints));
    const Pose base = judge_pose(traits, {});
    const PoseResponse response = pose_response(traits, base, {}, {kSd, kLength});
    if (base.axis_probability < 0.98 || !response.on_blunt_nose || blunt == wanted) {
      continue;
    }
    ++blunt;
    std::vector<double> turns;
    const shapes::EdgeWaves waves(one.fruit.outline, kLength);
    for (int i = 0; i < (kSanitized ? 40 : 800); ++i) {
      const Pose pose = find_pose(waves.draw(kSd, random), {});
      turns.push_back(std::asin(base.axis.x() * pose.axis.y() - base.axis.y() * pose.axis.x()));
    }
    const Moments drawn = moments(turns);
    const TurnSpread& stated = *response.on_blunt_nose;
    const double by_parabola = stated_turn(response, traits.step) / drawn.sd;
    parabola_within += by_parabola > 0.88 && by_parabola < 1.12 ? 1 : 0;
    fourth.push_back(drawn.fourth);
    if (!kSanitized) {
      EXPECT_NEAR(stated.sd / drawn.sd, 1.0, 0.12);
      EXPECT_NEAR((stated.mean - drawn.mean) / drawn.sd, 0.0, 0.25);
      EXPECT_NEAR(stated.fourth_moment, drawn.fourth, 0.5);
    }
  }
  EXPECT_EQ(blunt, wanted);
  if (!kSanitized) {
    // Neither a parabola nor a normal distribution would do.
    EXPECT_LT(parabola_within, wanted);
    std::nth_element(fourth.begin(), fourth.begin() + 6, fourth.end());
    EXPECT_LT(fourth[6], 2.85);
  }
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
