#include "libmaturity/outline/split_touching.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <opencv2/imgproc.hpp>

namespace maturity {

namespace {

constexpr double kHollowOverBreadth = 0.04;  // depth of a hollow that counts, over sqrt(area)
constexpr double kNeckOverBreadth = 0.75;    // longest cut, over sqrt(area)

std::vector<int> deep_hollows(const std::vector<cv::Point>& outline, double least_depth) {
  std::vector<int> hull;
  cv::convexHull(outline, hull, false, false);
  if (hull.size() < 4) {
    return {};
  }
  std::sort(hull.begin(), hull.end(), std::greater<>());
  std::vector<cv::Vec4i> defects;
  try {
    cv::convexityDefects(outline, hull, defects);
  } catch (const cv::Exception&) {
    return {};  // self-touching outline: no split rather than a wrong one
  }
  std::vector<int> deepest;
  for (const cv::Vec4i& d : defects) {
    if (d[3] / 256.0 >= least_depth) {
      deepest.push_back(d[2]);
    }
  }
  return deepest;
}

std::vector<cv::Point> stretch(const std::vector<cv::Point>& outline, int from, int to) {
  std::vector<cv::Point> part;
  const int n = static_cast<int>(outline.size());
  for (int i = from;; i = (i + 1) % n) {
    part.push_back(outline[static_cast<std::size_t>(i)]);
    if (i == to) {
      break;
    }
  }
  return part;
}

}  // namespace

std::vector<std::vector<cv::Point>> split_touching(const std::vector<cv::Point>& outline,
                                                   double least_area) {
  const double breadth = std::sqrt(cv::contourArea(outline));
  const std::vector<int> hollows = deep_hollows(outline, kHollowOverBreadth * breadth);
  if (hollows.size() < 2) {
    return {};
  }
  double shortest = kNeckOverBreadth * breadth;
  std::vector<std::vector<cv::Point>> best;
  for (std::size_t a = 0; a < hollows.size(); ++a) {
    for (std::size_t b = a + 1; b < hollows.size(); ++b) {
      const cv::Point d = outline[static_cast<std::size_t>(hollows[a])] -
                          outline[static_cast<std::size_t>(hollows[b])];
      const double length = std::hypot(d.x, d.y);
      if (length >= shortest) {
        continue;
      }
      auto one = stretch(outline, hollows[a], hollows[b]);
      auto other = stretch(outline, hollows[b], hollows[a]);
      if (cv::contourArea(one) >= least_area && cv::contourArea(other) >= least_area) {
        shortest = length;
        best = {std::move(one), std::move(other)};
      }
    }
  }
  std::vector<std::vector<cv::Point>> parts;
  for (const auto& part : best) {
    auto finer = split_touching(part, least_area);
    if (finer.empty()) {
      parts.push_back(part);
    } else {
      parts.insert(parts.end(), finer.begin(), finer.end());
    }
  }
  return parts;
}

}  // namespace maturity
