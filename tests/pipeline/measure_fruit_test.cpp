#include "libmaturity/pipeline/measure_fruit.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <vector>

#include "libmaturity/board/fit_camera.h"

namespace maturity {
namespace {

TEST(MeasureFruit, WhatThePhotoStageFoundIsNotSaidTwice) {
  FruitOutline eight;
  for (int i = 0; i < 200; ++i) {
    const double t = 2.0 * std::numbers::pi * i / 200.0;
    eight.outline_px.emplace_back(600.0 + 200.0 * std::sin(t),
                                  500.0 + 120.0 * std::sin(2.0 * t) + 40.0 * std::cos(t));
  }
  eight.se_px = 0.2;
  eight.correlation_px = 5.0;
  const BoardView view = assumed_view({1200, 1000, std::nullopt});
  const std::vector<FruitFlag> once{FruitFlag::not_fruit_like};
  EXPECT_EQ(measure_fruit(eight, view, {}, std::nullopt).flags, once);
  eight.add(FruitFlag::not_fruit_like);
  EXPECT_EQ(measure_fruit(eight, view, {}, std::nullopt).flags, once);
}

}  // namespace
}  // namespace maturity
