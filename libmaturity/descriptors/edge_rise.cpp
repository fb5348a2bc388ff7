#include "libmaturity/descriptors/edge_rise.h"

#include <cmath>

#include "libmaturity/descriptors/rise_fit.h"

namespace maturity {

EdgeRises::EdgeRises(const FramedOutline& outline, const RiseWindow& window)
    : outline_(outline), window_(window), weights_(weigh_rise(outline, window)) {}

EdgeRise EdgeRises::at(std::size_t i, const std::optional<LeftOut>& left_out) const {
  const RiseStretch stretch(outline_, i, weights_.reach);
  const RiseLeaving leaving(outline_, i, weights_.reach, left_out);
  const RiseFit fit = fit_beside(outline_, stretch, leaving, weights_);
  const double below = fit.core.dot(fit.normal.inverse() * fit.right);
  return {fit.core_height - below, i, window_, left_out};
}

RisePlace EdgeRises::between(std::size_t i, double steps,
                             const std::optional<LeftOut>& left_out) const {
  const double whole = std::floor(steps);
  const std::size_t first = outline_.at(i, static_cast<std::ptrdiff_t>(whole));
  RisePlace place;
  place.first = at(first, left_out);
  place.share = steps - whole;
  place.second = place.share > 0.0 ? at(outline_.next(first), left_out) : place.first;
  return place;
}

}  // namespace maturity
