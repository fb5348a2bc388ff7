#include "libmaturity/descriptors/circle_fit.h"

#include <algorithm>
#include <cmath>

namespace maturity {

CircleFit fit_circle(const FramedOutline& outline, std::size_t at, double reach) {
  CircleFit fit;
  fit.at = at;
  const auto most = std::max<std::ptrdiff_t>(1, static_cast<std::ptrdiff_t>(outline.size() / 4));
  fit.steps = std::clamp<std::ptrdiff_t>(std::lround(reach / outline.step()), 1, most);
  const Point& place = outline.points[at];
  fit.chord =
      outline.points[outline.at(at, fit.steps)] - outline.points[outline.at(at, -fit.steps)];
  fit.normal = Point(fit.chord.y(), -fit.chord.x()).normalized();
  double sum2 = 0.0;
  double sum4 = 0.0;
  double heights = 0.0;
  double heights2 = 0.0;
  double count = 0.0;
  for (std::ptrdiff_t k = -fit.steps; k <= fit.steps; ++k) {
    const Point d = outline.points[outline.at(at, k)] - place;
    const double squared = d.squaredNorm();
    const double height = d.dot(fit.normal);
    sum2 += squared;
    sum4 += squared * squared;
    heights += height;
    heights2 += height * squared;
    count += 1.0;
  }
  const double spread = count * sum4 - sum2 * sum2;
  if (spread > 0.0) {
    fit.curvature = -2.0 * (count * heights2 - sum2 * heights) / spread;
    fit.scale = -2.0 * count / spread;
    fit.mean_square = sum2 / count;
  }
  return fit;
}

CircleFit fit_circle_between(const FramedOutline& outline, std::size_t at, double share,
                             double reach) {
  CircleFit fit = fit_circle(outline, at, reach);
  const std::size_t beside = share < 0.0 ? outline.before(at) : outline.next(at);
  fit.curvature += std::abs(share) * (fit_circle(outline, beside, reach).curvature - fit.curvature);
  return fit;
}

void add_circle_fit(EdgeGradient& gradient, const FramedOutline& outline, const CircleFit& fit,
                    double factor) {
  const Point& place = outline.points[fit.at];
  for (std::ptrdiff_t k = -fit.steps; k <= fit.steps; ++k) {
    const std::size_t i = outline.at(fit.at, k);
    const double squared = (outline.points[i] - place).squaredNorm();
    gradient.add(i, factor * fit.scale * (squared - fit.mean_square) * fit.normal);
  }
}

}  // namespace maturity
