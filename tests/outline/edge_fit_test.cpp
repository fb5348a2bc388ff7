#include "libmaturity/outline/edge_fit.h"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <numbers>
#include <opencv2/imgcodecs.hpp>

#include "libmaturity/outline/find_fruit.h"
#include "libmaturity/photo/decode.h"
#include "libmaturity/photo/linear_light.h"
#include "tests/outline/drawn_fruit.h"
#include "tests/photo/photo_files.h"

namespace maturity {
namespace {

const Light kGreenSkin(0.10, 0.16, 0.03);
const Light kWhitePaper(0.85, 0.85, 0.85);
const Light kGreyBoard(0.13, 0.13, 0.13);

double bell_share(double z) { return 0.5 * std::erfc(-z / std::numbers::sqrt2); }

/// A ring of normals across an edge in linear light, blurred by `spread_px`, coded as a file does,
/// colours smeared over `smear_px` more.
struct DrawnEdge {
  Light skin = kGreenSkin;
  Light board = kWhitePaper;
  double spread_px = 1.0;
  double smear_px = 0.0;
  std::function<double(std::size_t)> offset_px = [](std::size_t) { return 0.0; };
};

constexpr std::size_t kNormals = 200;

Rays rays_across(const DrawnEdge& edge) {
  Rays rays;
  rays.count = kNormals;
  rays.rows = 35;
  rays.step = 0.5;
  rays.half = 8.5;
  const auto planes_at = [&](double out_px) {
    const double share = bell_share(-out_px / edge.spread_px);
    return planes_of_rgb(share * edge.skin + (1.0 - share) * edge.board);
  };
  for (std::size_t i = 0; i < rays.count; ++i) {
    for (std::size_t r = 0; r < rays.rows; ++r) {
      const double at = rays.step * static_cast<double>(r) - rays.half - edge.offset_px(i);
      Light planes = planes_at(at);
      if (edge.smear_px > 0.0) {
        planes.tail<2>().setZero();
        constexpr int kParts = 40;
        for (int k = 0; k < kParts; ++k) {  // evenly over 3.46 standard deviations
          const double by = edge.smear_px * std::sqrt(12.0) * ((k + 0.5) / kParts - 0.5);
          planes.tail<2>() += planes_at(at + by).tail<2>() / kParts;
        }
      }
      rays.planes.push_back(planes);
    }
  }
  return rays;
}

const std::vector<RowRange> kSides(kNormals, RowRange{5, 12, 22, 29});

std::vector<double> fitted(const DrawnEdge& edge, double start_px, const EdgeForm& form) {
  return fit_edge(rays_across(edge), kSides, std::vector<double>(kNormals, start_px),
                  std::vector<double>(kNormals, 1.0), 5, form);
}

// Where the paper is as light as the skin, or hardly other than it, codes are straight lines of
// light and a mixture lies half way; where it is much lighter it does not.
TEST(ColourLag, IsNoneBetweenLightsThatAreNearlyAlike) {
  const auto lag = [](const Light& inside, const Light& outside) {
    const Light in = planes_of_rgb(inside);
    const Light out = planes_of_rgb(outside);
    return colour_lag({in, out, in - out});
  };
  EXPECT_NEAR(lag(kGreenSkin, 1.02 * kGreenSkin + Light(0.0, 0.0, 0.001)), 0.0, 0.03);
  EXPECT_LT(lag(kGreenSkin, kWhitePaper), -0.2);
  EXPECT_GT(lag(kGreenSkin, kWhitePaper), -1.2);
  // The lighter side wins, wherever it is.
  EXPECT_NEAR(lag(kWhitePaper, kGreenSkin), -lag(kGreenSkin, kWhitePaper), 1e-9);
}

// Against a plain sum over many thin slices, the whole ramp.
TEST(ColourLag, IsTheMiddleOfTheCodedRamp) {
  const Light in = planes_of_rgb(kGreenSkin);
  const Light out = planes_of_rgb(kWhitePaper);
  const Light direction = in - out;
  const auto colour = [&](double z) {
    const double share = bell_share(-z);
    return planes_of_rgb(share * kGreenSkin + (1.0 - share) * kWhitePaper)
        .tail<2>()
        .dot(direction.tail<2>());
  };
  double moment = 0.0;
  constexpr int kSlices = 4000;
  constexpr double kReach = 4.0;
  for (int k = 0; k < kSlices; ++k) {
    const double z = kReach * (2.0 * k / kSlices - 1.0);
    moment += (z + kReach / kSlices) * (colour(z) - colour(z + 2.0 * kReach / kSlices));
  }
  EXPECT_NEAR(colour_lag({in, out, direction}), moment / (colour(-kReach) - colour(kReach)), 0.03);
}

TEST(FitEdge, FindsAnEdgeFromAPixelAway) {
  for (const Light& board : {kWhitePaper, kGreyBoard, Light(0.05, 0.10, 0.30)}) {
    for (const double smear : {0.0, 0.87}) {  // none, and colours at half the resolution
      DrawnEdge edge;
      edge.board = board;
      edge.smear_px = smear;
      edge.offset_px = [](std::size_t i) {
        return 0.3 * std::sin(2.0 * std::numbers::pi * static_cast<double>(i) / 50.0);
      };
      const double shrink = smear > 0.0 ? 2.0 : 1.0;
      const auto found = fitted(edge, 0.6, {1.0, Point(shrink, shrink)});
      for (std::size_t i = 0; i < kNormals; ++i) {
        EXPECT_NEAR(found[i], edge.offset_px(i), 0.08) << i << ", smear " << smear;
      }
    }
  }
}

// A stub beyond the edge is no reason to go there.
TEST(FitEdge, StaysWithinAPixel) {
  DrawnEdge edge;
  edge.offset_px = [](std::size_t i) { return i >= 100 && i < 110 ? 4.0 : 0.0; };
  for (const double offset : fitted(edge, 0.0, {1.0, Point(1.0, 1.0)})) {
    EXPECT_LT(std::abs(offset), 1.3);
  }
}

// Standard deviation of the distance along the true outline, px.
double unevenness(int quality) {
  made::DrawnFruit fruit;
  fruit.centre = {250.3, 190.6};
  fruit.turn_rad = 0.4;
  made::Scene scene;
  scene.width = 500;
  scene.height = 380;
  const cv::Mat bgr = made::finish(made::draw_fruit({fruit}, scene), scene);
  const auto file = made::encode(bgr, ".jpg", {cv::IMWRITE_JPEG_QUALITY, quality});
  const FoundFruit found = find_fruit(decode(file, 50.0, {}), {});
  if (found.fruit.size() != 1) {
    return 9.0;
  }
  const Polygon truth = fruit.outline();
  double sum = 0.0;
  double squares = 0.0;
  for (const Point& p : found.fruit[0].outline_px) {
    const double off = distance_to_outline(truth, p) * (contains(truth, p) ? -1.0 : 1.0);
    sum += off;
    squares += off * off;
  }
  const auto n = static_cast<double>(found.fruit[0].outline_px.size());
  return std::sqrt(squares / n - sum / n * sum / n);
}

// JPEG as phones write it, colours at half the resolution (ITU-T T.81).
TEST(FitEdge, IsEvenOnAFileWithCoarseColours) {
  EXPECT_LT(unevenness(86), 0.11);
  // Made wrong on purpose: colours are nearly gone.
  EXPECT_GT(unevenness(12), 0.11);
}

}  // namespace
}  // namespace maturity
