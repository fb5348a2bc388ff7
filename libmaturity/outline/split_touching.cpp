#include "libmaturity/outline/split_touching.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <opencv2/imgproc.hpp>

#include "libmaturity/outline/pixel_outline.h"

namespace maturity {

namespace {

constexpr double kHollowOverBreadth = 0.04;  // depth of a hollow that counts, over sqrt(area)
constexpr double kMostNeck = 1.0;            // longest cut, over sqrt(area) of the smaller part

// The hollows under one side of the hull, from outline point `from` to `to`: three fruit in a row
// make two. One counts when the outline comes back by `least_depth` on both sides of it.
void add_hollows(const std::vector<cv::Point>& outline, int from, int to, double least_depth,
                 std::vector<int>& hollows) {
  const int n = static_cast<int>(outline.size());
  const cv::Point2d start = outline[static_cast<std::size_t>(from)];
  const cv::Point2d side = cv::Point2d(outline[static_cast<std::size_t>(to)]) - start;
  const double length = std::max(1e-9, std::hypot(side.x, side.y));
  double turn = 0.0;  // depth at the last extreme
  int deepest = from;
  bool inwards = true;
  for (int i = from;; i = (i + 1) % n) {
    const cv::Point2d off = cv::Point2d(outline[static_cast<std::size_t>(i)]) - start;
    const double depth = std::abs(side.cross(off)) / length;
    if (inwards ? depth > turn : depth < turn) {
      turn = depth;
      deepest = i;
    } else if (inwards && turn >= least_depth && (depth <= turn - least_depth || i == to)) {
      hollows.push_back(deepest);
      inwards = false;
      turn = depth;
    } else if (!inwards && depth >= turn + least_depth) {
      inwards = true;
      turn = depth;
      deepest = i;
    }
    if (i == to) {
      break;
    }
  }
}

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
      add_hollows(outline, d[0], d[1], least_depth, deepest);
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

// Appends the parts of one blob; `cut` counts the cuts made so far.
void split_into(const std::vector<cv::Point>& outline, double least_area, int& cut,
                std::vector<SplitPart>& parts) {
  const double breadth = std::sqrt(cv::contourArea(outline));
  const std::vector<int> hollows = deep_hollows(outline, kHollowOverBreadth * breadth);
  double shortest = breadth;
  std::vector<cv::Point> one;
  std::vector<cv::Point> other;
  double best_neck = 0.0;
  for (std::size_t a = 0; a < hollows.size(); ++a) {
    for (std::size_t b = a + 1; b < hollows.size(); ++b) {
      const cv::Point d = outline[static_cast<std::size_t>(hollows[a])] -
                          outline[static_cast<std::size_t>(hollows[b])];
      const double length = std::hypot(d.x, d.y);
      if (length >= shortest) {
        continue;
      }
      auto first = stretch(outline, hollows[a], hollows[b]);
      auto second = stretch(outline, hollows[b], hollows[a]);
      const double smaller = std::min(cv::contourArea(first), cv::contourArea(second));
      const double neck = length / std::sqrt(std::max(smaller, 1.0));
      if (smaller >= least_area && neck < kMostNeck) {
        shortest = length;
        best_neck = neck;
        one = std::move(first);
        other = std::move(second);
      }
    }
  }
  if (one.empty()) {
    return;
  }
  const int this_cut = cut++;
  for (const std::vector<cv::Point>& part : {one, other}) {
    parts.push_back({polygon_of(part), best_neck, this_cut});
    split_into(part, least_area, cut, parts);
  }
}

}  // namespace

std::vector<SplitPart> split_touching(const Polygon& outline, double least_area) {
  std::vector<SplitPart> parts;
  int cut = 0;
  split_into(pixels_of<cv::Point>(outline), least_area, cut, parts);
  return parts;
}

}  // namespace maturity
