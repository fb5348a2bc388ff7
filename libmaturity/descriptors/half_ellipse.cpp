#include "libmaturity/descriptors/half_ellipse.h"

#include <cmath>

namespace maturity {

HalfEllipse half_ellipse(const Slice& slice) {
  // Integrals of sqrt(1 - u^2) and u sqrt(1 - u^2), u from -1 to 1 along the axis.
  const auto area = [](double share) {
    const double u = 2.0 * share - 1.0;
    return 0.25 * (u * std::sqrt(1.0 - u * u) + std::asin(u));
  };
  const auto moment = [](double share) {
    const double u = 2.0 * share - 1.0;
    return -std::pow(1.0 - u * u, 1.5) / 12.0;
  };
  return {area(slice.to) - area(slice.from), moment(slice.to) - moment(slice.from)};
}

}  // namespace maturity
