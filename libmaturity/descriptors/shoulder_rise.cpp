#include "libmaturity/descriptors/shoulder_rise.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "libmaturity/descriptors/greatest.h"

namespace maturity {

namespace {

/// Adds the answer of the foremost point on that side, the stem itself (a rise of 0) among those
/// that may be the foremost.
void add_foremost(EdgeGradient& gradient, const FramedOutline& outline, int side, const Point& stem,
                  double least) {
  const double limit = least + Greatest::kOutOfReach * std::sqrt(2.0 * gradient.covariance(0));
  std::vector<std::size_t> near;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Point& p = outline.points[i];
    if (side * (p.y() - stem.y()) > 0.0 && p.x() < limit) {
      near.push_back(i);
    }
  }
  const std::size_t stride = near.size() / (Greatest::kMost - 1) + 1;
  Greatest greatest;
  for (std::size_t k = 0; k < near.size(); k += stride) {
    greatest.add(stem.x() - outline.points[near[k]].x());
  }
  const std::size_t count = greatest.size();
  const auto covariance = [&](std::size_t i, std::size_t j) {
    return gradient.covariance(outline.steps_apart(i, j)) * outline.normals[i].x() *
           outline.normals[j].x();
  };
  const double of_stem = covariance(outline.stem, outline.stem);
  for (std::size_t a = 0; a < count; ++a) {
    const std::size_t i = near[a * stride];
    for (std::size_t b = a; b < count; ++b) {
      const std::size_t j = near[b * stride];
      greatest.set_covariance(
          a, b,
          covariance(i, j) - covariance(i, outline.stem) - covariance(j, outline.stem) + of_stem);
    }
  }
  greatest.add_apart(0.0);
  for (std::size_t a = 0; a <= count; ++a) {
    greatest.set_covariance(a, count, 0.0);
  }
  greatest.solve();
  const double per_length = 1.0 / outline.length;
  const double moves = 1.0 - greatest.chance(count);
  for (std::size_t a = 0; a < count; ++a) {
    gradient.add(near[a * stride], -greatest.chance(a) * per_length, 0.0);
  }
  gradient.add(outline.stem, moves * per_length, 0.0);
  gradient.add_stem_slide(-moves * outline.normals[outline.stem].y() * per_length);
  gradient.add_scatter(greatest.scatter() * per_length * per_length);
}

}  // namespace

double measure_shoulder_rise(const FramedOutline& outline, int side, EdgeGradient* gradient) {
  const Point stem = outline.between(outline.stem, outline.stem_share);
  double least = stem.x();
  for (const Point& p : outline.points) {
    if (side * (p.y() - stem.y()) > 0.0) {
      least = std::min(least, p.x());
    }
  }
  const double value = (stem.x() - least) / outline.length;
  if (gradient != nullptr) {
    add_foremost(*gradient, outline, side, stem, least);
    add_length(gradient, -value / outline.length);
  }
  return value;
}

}  // namespace maturity
