#include "tests/outline/drawn_fruit.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <opencv2/imgproc.hpp>

namespace maturity::made {

namespace {

Point own_axes(const DrawnFruit& fruit, const Point& p) {
  const Point d = p - fruit.centre;
  const double c = std::cos(fruit.turn_rad);
  const double s = std::sin(fruit.turn_rad);
  return {c * d.x() + s * d.y(), -s * d.x() + c * d.y()};
}

double breadth(const DrawnFruit& fruit, double x) {
  return fruit.b * (1.0 + fruit.lopsided * x / fruit.a);
}

}  // namespace

bool DrawnFruit::holds(const Point& p) const {
  const Point own = own_axes(*this, p);
  const double u = own.x() / a;
  const double v = own.y() / breadth(*this, own.x());
  return u * u + v * v < 1.0;
}

bool DrawnFruit::stem_holds(const Point& p) const {
  constexpr double kHalfWidth = 2.6;
  const Point own = own_axes(*this, p);
  return own.x() < -0.9 * a && own.x() > -a - stem_px && std::abs(own.y()) < kHalfWidth;
}

Polygon DrawnFruit::outline() const {
  constexpr int kPoints = 3000;
  Polygon points;
  for (int i = 0; i < kPoints; ++i) {
    const double t = -2.0 * std::numbers::pi * i / kPoints;
    const double x = a * std::cos(t);
    const double y = breadth(*this, x) * std::sin(t);
    points.emplace_back(centre.x() + std::cos(turn_rad) * x - std::sin(turn_rad) * y,
                        centre.y() + std::sin(turn_rad) * x + std::cos(turn_rad) * y);
  }
  return points;
}

cv::Mat draw_fruit(const std::vector<DrawnFruit>& fruit, const Scene& scene) {
  cv::Mat light = plain_light(scene.width, scene.height, scene.ground);
  for (const DrawnFruit& f : fruit) {
    const double reach = std::max(f.a, f.b) * (1.0 + std::abs(f.lopsided)) + f.stem_px + 4.0;
    const cv::Rect box =
        cv::Rect(static_cast<int>(f.centre.x() - reach), static_cast<int>(f.centre.y() - reach),
                 static_cast<int>(2.0 * reach), static_cast<int>(2.0 * reach)) &
        cv::Rect(0, 0, scene.width, scene.height);
    cv::Mat part = light(box);
    const Point corner(box.x, box.y);
    if (f.stem_px > 0.0) {
      paint(
          part, [&](const Point& p) { return f.stem_holds(p + corner); },
          Light(0.10F, 0.08F, 0.03F));
    }
    paint(
        part, [&](const Point& p) { return f.holds(p + corner); }, f.skin,
        [&](const Point& p) {
          const Point own = own_axes(f, p + corner);
          const double r2 = std::pow(own.x() / f.a, 2) + std::pow(own.y() / f.b, 2);
          return 1.0 - 0.35 * std::min(1.0, r2);
        });
  }
  return light;
}

cv::Mat finish(cv::Mat light, const Scene& scene) {
  blur(light, scene.blur_px);
  return bgr_codes(light, scene.noise_codes, scene.seed);
}

Photo photo_of_fruit(const std::vector<DrawnFruit>& fruit, const Scene& scene) {
  return photo_of(finish(draw_fruit(fruit, scene), scene));
}

OutlineError compare(const Polygon& found, const Polygon& truth) {
  OutlineError error;
  for (const Point& p : resample_by_arc_length(found, 400)) {
    const double distance = distance_to_outline(truth, p);
    error.mean += distance / 400.0;
    error.bias += (contains(truth, p) ? -distance : distance) / 400.0;
    error.worst = std::max(error.worst, distance);
  }
  return error;
}

double overlap(const Polygon& a, const Polygon& b) {
  constexpr int kPerPixel = 4;
  Point low = a.front();
  Point high = a.front();
  for (const Polygon* polygon : {&a, &b}) {
    for (const Point& p : *polygon) {
      low = low.cwiseMin(p);
      high = high.cwiseMax(p);
    }
  }
  const int width = static_cast<int>(kPerPixel * (high.x() - low.x())) + 3;
  const int height = static_cast<int>(kPerPixel * (high.y() - low.y())) + 3;
  const auto mask_of = [&](const Polygon& polygon) {
    constexpr int kShift = 6;
    std::vector<cv::Point> points;
    for (const Point& p : polygon) {
      const Point at = (1 << kShift) * (kPerPixel * (p - low) + Point(1, 1));
      points.emplace_back(static_cast<int>(std::lround(at.x())),
                          static_cast<int>(std::lround(at.y())));
    }
    cv::Mat mask = cv::Mat::zeros(height, width, CV_8UC1);
    cv::fillPoly(mask, std::vector<std::vector<cv::Point>>{points}, cv::Scalar(255), cv::LINE_8,
                 kShift);
    return mask;
  };
  const cv::Mat first = mask_of(a);
  const cv::Mat second = mask_of(b);
  return static_cast<double>(cv::countNonZero(first & second)) / cv::countNonZero(first | second);
}

}  // namespace maturity::made
