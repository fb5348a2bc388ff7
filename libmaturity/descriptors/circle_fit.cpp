#include "libmaturity/descriptors/circle_fit.h"

#include <algorithm>
#include <cmath>

namespace maturity {

namespace {

/// Sums over heights and squared distances of points.
struct HeightSums {
  double count = 0.0;
  double sum2 = 0.0;
  double sum4 = 0.0;
  double heights = 0.0;
  double heights2 = 0.0;

  void add(const FramedOutline& outline, const CircleFit& fit, std::ptrdiff_t k) {
    const Point d = outline.points[outline.at(fit.at, k)] - outline.points[fit.at];
    const double squared = d.squaredNorm();
    const double height = d.dot(fit.normal);
    count += 1.0;
    sum2 += squared;
    sum4 += squared * squared;
    heights += height;
    heights2 += height * squared;
  }

  double curvature(CircleFit::Weights& weights) const {
    const double spread = count * sum4 - sum2 * sum2;
    if (!(spread > 0.0)) {
      return 0.0;
    }
    weights.scale = -2.0 * count / spread;
    weights.mean_square = sum2 / count;
    return -2.0 * (count * heights2 - sum2 * heights) / spread;
  }
};

}  // namespace

CircleFit fit_circle(const FramedOutline& outline, std::size_t at, double reach) {
  CircleFit fit;
  fit.at = at;
  const auto most = std::max<double>(1.0, static_cast<double>(outline.size()) / 4.0);
  const double wanted = std::clamp(reach / outline.step(), 1.0, most);
  fit.steps = static_cast<std::ptrdiff_t>(wanted);
  fit.mix = wanted - static_cast<double>(fit.steps);
  const auto chord = [&](std::ptrdiff_t steps) {
    return Point(outline.points[outline.at(at, steps)] - outline.points[outline.at(at, -steps)]);
  };
  fit.chord = (1.0 - fit.mix) * chord(fit.steps) + fit.mix * chord(fit.steps + 1);
  fit.normal = Point(fit.chord.y(), -fit.chord.x()).normalized();
  HeightSums sums;
  for (std::ptrdiff_t k = -fit.steps; k <= fit.steps; ++k) {
    sums.add(outline, fit, k);
  }
  const double within = sums.curvature(fit.weights[0]);
  sums.add(outline, fit, -fit.steps - 1);
  sums.add(outline, fit, fit.steps + 1);
  const double beyond = sums.curvature(fit.weights[1]);
  fit.curvature = within + fit.mix * (beyond - within);
  return fit;
}

void add_circle_fit(EdgeGradient& gradient, const FramedOutline& outline, const CircleFit& fit,
                    double factor) {
  const Point& place = outline.points[fit.at];
  for (std::ptrdiff_t k = -fit.steps - 1; k <= fit.steps + 1; ++k) {
    const std::size_t i = outline.at(fit.at, k);
    const double squared = (outline.points[i] - place).squaredNorm();
    gradient.add(i, factor * fit.weight(k, squared) * fit.normal);
  }
}

}  // namespace maturity
