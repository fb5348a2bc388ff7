#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "libmaturity/core/polygon.h"
#include "libmaturity/photo/photo.h"
#include "tests/photo/drawn_photo.h"

namespace maturity::made {

/// A fruit as an ellipse, a little fuller on one side of the long axis when `lopsided` is not 0.
struct DrawnFruit {
  Point centre = Point::Zero();
  double a = 110.0;
  double b = 80.0;
  double turn_rad = 0.0;
  double lopsided = 0.0;  // share of b that the breadth grows from one end to the other
  double stem_px = 0.0;   // length of a stem at the end of the long axis
  Light skin{0.20F, 0.26F, 0.06F};

  bool holds(const Point& p) const;
  bool stem_holds(const Point& p) const;
  /// The true outline of the body, 3000 points.
  Polygon outline() const;
};

struct Scene {
  int width = 1000;
  int height = 750;
  Light ground{0.4F, 0.4F, 0.4F};
  double blur_px = 0.8;
  double noise_codes = 1.5;
  std::uint64_t seed = 3;
};

/// Fruit on a board in linear light, darker towards their rim as round things are.
cv::Mat draw_fruit(const std::vector<DrawnFruit>& fruit, const Scene& scene);
cv::Mat finish(cv::Mat light, const Scene& scene);
Photo photo_of_fruit(const std::vector<DrawnFruit>& fruit, const Scene& scene);

/// How a found outline lies to the true one: mean of the distances, mean of the signed distances
/// (outside positive) and the largest, px.
struct OutlineError {
  double mean = 0.0;
  double bias = 0.0;
  double worst = 0.0;
};
OutlineError compare(const Polygon& found, const Polygon& truth);

/// Area of the overlap over that of the union, counted on a grid of 1/4 px.
double overlap(const Polygon& a, const Polygon& b);

}  // namespace maturity::made
