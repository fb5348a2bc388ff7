#include "libmaturity/descriptors/edge_gradient.h"

namespace maturity {

double sum_of_squares_both_ways(std::span<const double> covariance) {
  double sum = 0.0;
  for (std::size_t k = 0; k < covariance.size(); ++k) {
    sum += (k == 0 ? 1.0 : 2.0) * covariance[k] * covariance[k];
  }
  return sum;
}

void add_length(EdgeGradient* gradient, double factor) {
  if (gradient != nullptr) {
    gradient->add_extreme(Extreme::distal, factor);
    gradient->add_extreme(Extreme::proximal, factor);
  }
}

void add_half_width(EdgeGradient* gradient, int side, double factor) {
  if (gradient != nullptr) {
    gradient->add_extreme(side > 0 ? Extreme::ventral : Extreme::dorsal, factor);
  }
}

void add_area(EdgeGradient* gradient, const FramedOutline& outline, double factor) {
  if (gradient == nullptr) {
    return;
  }
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Point chord = outline.points[outline.next(i)] - outline.points[outline.before(i)];
    gradient->add(i, 0.5 * factor * chord.y(), -0.5 * factor * chord.x());
  }
}

void add_perimeter(EdgeGradient* gradient, const FramedOutline& outline, double factor) {
  if (gradient == nullptr) {
    return;
  }
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Point& p = outline.points[i];
    const Point back = (p - outline.points[outline.before(i)]).normalized();
    const Point on = (p - outline.points[outline.next(i)]).normalized();
    gradient->add(i, factor * (back + on));
  }
  // Half the square of each step's slope adds to its length.
  const double step = outline.step();
  std::vector<double> slopes;
  for (std::size_t k = 0; k <= gradient->covariance_reach(); ++k) {
    const double second = 2.0 * gradient->covariance(k) - gradient->covariance(k + 1) -
                          gradient->covariance(k == 0 ? 1 : k - 1);
    slopes.push_back(second / (step * step));
  }
  gradient->add_scatter(0.5 * factor * factor * step * step * static_cast<double>(outline.size()) *
                        sum_of_squares_both_ways(slopes));
}

}  // namespace maturity
