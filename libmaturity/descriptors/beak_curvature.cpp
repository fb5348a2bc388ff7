#include "libmaturity/descriptors/beak_curvature.h"

#include <cmath>
#include <limits>
#include <vector>

#include "libmaturity/descriptors/beak.h"
#include "libmaturity/descriptors/greatest.h"

namespace maturity {

namespace {

/// Adds the answer of the greatest curvature, any of the points having it with the chance that edge
/// errors give it.
void add_sharpest(EdgeGradient& gradient, const FramedOutline& outline, const BendLine& line,
                  double greatest_curvature) {
  const std::vector<double> covariance = line.covariances(gradient.noise());
  const double reach = Greatest::kOutOfReach * std::sqrt(covariance[0]);
  std::vector<std::size_t> near;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    if (in_beak_stretch(outline, i) && line.curvature[i] >= greatest_curvature - reach) {
      near.push_back(i);
    }
  }
  const std::size_t stride = near.size() / Greatest::kMost + 1;
  Greatest greatest;
  for (std::size_t k = 0; k < near.size(); k += stride) {
    greatest.add(line.curvature[near[k]]);
  }
  for (std::size_t a = 0; a < greatest.size(); ++a) {
    for (std::size_t b = a; b < greatest.size(); ++b) {
      const std::size_t steps = outline.steps_apart(near[a * stride], near[b * stride]);
      greatest.set_covariance(a, b, steps < covariance.size() ? covariance[steps] : 0.0);
    }
  }
  greatest.solve();
  for (std::size_t a = 0; a < greatest.size(); ++a) {
    if (greatest.chance(a) > 1e-3) {
      line.bend.add(gradient, near[a * stride], greatest.chance(a) * outline.length);
    }
  }
  gradient.add_scatter(greatest.scatter() * outline.length * outline.length);
}

}  // namespace

double measure_beak_curvature(const FramedOutline& outline, const BendLine& line,
                              EdgeGradient* gradient) {
  double greatest = -std::numeric_limits<double>::infinity();
  std::size_t apex = outline.size();
  for (std::size_t i = 0; i < outline.size(); ++i) {
    if (!in_beak_stretch(outline, i)) {
      continue;
    }
    const double curvature = line.curvature[i];
    if (curvature > greatest) {
      greatest = curvature;
      apex = i;
    }
  }
  if (apex == outline.size()) {
    return std::numeric_limits<double>::quiet_NaN();
  }
  if (gradient != nullptr) {
    add_sharpest(*gradient, outline, line, greatest);
    add_length(gradient, greatest);
  }
  return greatest * outline.length;
}

}  // namespace maturity
