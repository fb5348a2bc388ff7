// Outlines and options that cannot be used are refused by name.
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>
#include <string>

#include "libmaturity/descriptors/describe_outline.h"
#include "tests/descriptors/error_match.h"
#include "tests/shapes/invented_fruit.h"

namespace maturity {
namespace {

std::string message_of(const Polygon& outline, const DescribeOptions& options = {}) {
  try {
    describe_outline(outline, options);
  } catch (const std::invalid_argument& refused) {
    return refused.what();
  }
  return "";
}

TEST(DescribeOutline, RefusesWhatIsNoOutline) {
  const Polygon good = shapes::ellipse(60.0, 45.0, 40);
  EXPECT_EQ(message_of(good), "");

  Polygon bad = good;
  bad[7].y() = std::numeric_limits<double>::quiet_NaN();
  EXPECT_NE(message_of(bad).find("point 7"), std::string::npos) << message_of(bad);
  EXPECT_NE(message_of(bad).find("finite"), std::string::npos);

  bad = good;
  bad[3].x() = 2e7;
  EXPECT_NE(message_of(bad).find("1e7"), std::string::npos) << message_of(bad);

  EXPECT_NE(message_of(shapes::ellipse(60.0, 45.0, 15)).find("at least 16"), std::string::npos);

  bad = good;
  std::swap(bad[5], bad[25]);
  EXPECT_NE(message_of(bad).find("cross"), std::string::npos) << message_of(bad);

  Polygon line;
  for (int i = 0; i < 30; ++i) {
    line.emplace_back(i < 15 ? i : 30 - i, 0.0);
  }
  EXPECT_NE(message_of(line).find("area"), std::string::npos) << message_of(line);
}

// Found by fuzzing: so spiky that no place was a likely stem, and chances were 0 over 0.
TEST(DescribeOutline, AStarOfSpikesHasAPose) {
  for (const int spikes : {9, 16, 40}) {
    Polygon star;
    for (int i = 0; i < 2 * spikes; ++i) {
      const double turn = std::numbers::pi * i / spikes;
      const double away = i % 2 == 0 ? 100.0 : 0.2;
      star.emplace_back(away * std::cos(turn), 0.8 * away * std::sin(turn));
    }
    for (const double stem : {0.0, 1.0}) {
      DescribeOptions options;
      if (stem > 0.0) {
        options.evidence.stem_base = star[4];
        options.evidence.stem_base_probability = stem;
      }
      const ShapeDescription shape = describe_outline(star, options);
      EXPECT_TRUE(shape.pose.stem.allFinite() && shape.pose.axis.allFinite()) << spikes;
      EXPECT_GT(shape.length, 0.0);
    }
  }
}

TEST(DescribeOutline, FigureOfEightIsRefusedEvenWithArea) {
  Polygon eight;
  for (int i = 0; i < 60; ++i) {
    const double t = 0.1047197551 * i;
    eight.emplace_back(50.0 * std::sin(t), 30.0 * std::sin(2.0 * t) + 8.0 * std::cos(t));
  }
  EXPECT_NE(message_of(eight), "");
}

TEST(DescribeOutline, RepeatedPointsAreMerged) {
  const Polygon good = shapes::ellipse(60.0, 45.0, 64);
  Polygon twice;
  for (const Point& p : good) {
    twice.push_back(p);
    twice.push_back(p);
  }
  twice.push_back(good.front());
  DescribeOptions options;
  options.with_errors = false;
  EXPECT_EQ(describe_outline(good, options).descriptors.value[0],
            describe_outline(twice, options).descriptors.value[0]);
  const Polygon few(40, Point(1.0, 2.0));
  EXPECT_NE(message_of(few).find("1 different"), std::string::npos);
}

TEST(DescribeOutline, RefusesOptionsByName) {
  const Polygon good = shapes::ellipse(60.0, 45.0, 64);
  DescribeOptions options;
  for (const double sd : {-0.1, 1.1e7, 1e300, std::numeric_limits<double>::infinity(),
                          std::numeric_limits<double>::quiet_NaN()}) {
    options.edge_sd = sd;
    EXPECT_NE(message_of(good, options).find("edge_sd"), std::string::npos) << sd;
  }
  options = {};
  options.edge_correlation_length = 0.0;
  EXPECT_NE(message_of(good, options).find("edge_correlation_length"), std::string::npos);
  options = {};
  options.evidence.given_ventral_side = 2;
  EXPECT_NE(message_of(good, options).find("given_ventral_side"), std::string::npos);
  options = {};
  options.evidence.given_stem = Point(1.0, 1.0);
  options.evidence.given_nose = Point(1.0, 1.0);
  EXPECT_NE(message_of(good, options).find("given_nose"), std::string::npos);
  Pose pose;
  pose.axis = Point(2.0, 0.0);
  EXPECT_THROW(describe_outline(good, pose), std::invalid_argument);
}

TEST(DescribeOutline, WhatIsNotDefinedHasNoError) {
  // So thin that no beak can be sought beside the axis.
  const ShapeDescription shape = describe_outline(shapes::ellipse(100.0, 1.0, 400));
  EXPECT_TRUE(std::isnan(shape.descriptors[Descriptor::sinus_depth]));
  for (const DescriptorInfo& info : descriptor_registry()) {
    EXPECT_EQ(std::isnan(shape.descriptors[info.descriptor]),
              std::isnan(shape.descriptors.error(info.descriptor)))
        << info.name;
  }
}

TEST(DescribeOutline, ErrorsOfAnySizeGiveStandardErrors) {
  // From a blunt fruit, whose axis turns as far as it can, to a faint beak that wanders.
  const auto fruit = shapes::outlines_of("superellipse", 12, 31);
  // 1e200 squared, and over a step, is beyond any number.
  for (const double sd : {0.0, 1e-6, 0.1, 2.0, 30.0, 1e7}) {
    for (const double length : {1e-200, 1e-3, 1.0, 10.0, 40.0, 1e4, 1e200}) {
      for (const shapes::PosedOutline& one : fruit) {
        DescribeOptions options;
        options.edge_sd = sd;
        options.edge_correlation_length = length;
        const ShapeDescription shape = describe_outline(one.outline, options);
        for (const DescriptorInfo& info : descriptor_registry()) {
          const double value = shape.descriptors[info.descriptor];
          const double error = shape.descriptors.error(info.descriptor);
          EXPECT_TRUE(!std::isfinite(value) || (std::isfinite(error) && error >= 0.0))
              << info.name << ", " << sd << " over " << length << ": " << error;
        }
      }
    }
  }
}

}  // namespace
}  // namespace maturity
