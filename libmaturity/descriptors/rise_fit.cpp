#include "libmaturity/descriptors/rise_fit.h"

#include <cmath>

namespace maturity {

namespace {

/// Weighted sums over the edge beside a place.
struct Sums {
  double w0 = 0.0;
  double wx = 0.0;
  double wq = 0.0;
  double wxx = 0.0;
  double wxq = 0.0;
  double wqq = 0.0;
  double h0 = 0.0;
  double hx = 0.0;
  double hq = 0.0;

  void add(double w, const RisePoint& seen) {
    const double x = w * seen.x;
    const double q = w * seen.q;
    w0 += w;
    wx += x;
    wq += q;
    wxx += x * seen.x;
    wxq += x * seen.q;
    wqq += q * seen.q;
    h0 += w * seen.height;
    hx += x * seen.height;
    hq += q * seen.height;
  }
};

}  // namespace

RiseWeights weigh_rise(const FramedOutline& outline, const RiseWindow& window) {
  RiseWeights around;
  const double step = outline.step() / outline.length;
  const auto most =
      static_cast<std::ptrdiff_t>(std::min(RiseWeights::kMostPoints, outline.size()) - 1) / 2;
  around.reach =
      std::min(most, static_cast<std::ptrdiff_t>((window.reach + kSoftlyOver) / step) + 1);
  around.count = static_cast<std::size_t>(2 * around.reach + 1);
  double sum = 0.0;
  for (std::size_t k = 0; k < around.count; ++k) {
    const double distance =
        std::abs(static_cast<double>(k) - static_cast<double>(around.reach)) * step;
    around.beside[k] =
        beyond_softly(distance, window.gap) * (1.0 - beyond_softly(distance, window.reach));
    around.core[k] = 1.0 - beyond_softly(distance, window.core);
    if (window.hole > 0.0) {
      around.core[k] *= beyond_softly(distance, window.hole);
    }
    sum += around.core[k];
  }
  for (std::size_t k = 0; k < around.count; ++k) {
    around.core[k] /= sum;
  }
  around.gap = around.count / 2;
  while (around.gap > 0 && around.beside[around.gap - 1] == 0.0) {
    --around.gap;
  }
  while (around.core_from < around.count / 2 && around.core[around.core_from] == 0.0) {
    ++around.core_from;
  }
  return around;
}

RiseFit fit_beside(const FramedOutline& outline, const RiseStretch& stretch,
                   const RiseLeaving& leaving, const RiseWeights& around) {
  Sums sums;
  const auto add_beside = [&](std::size_t from, std::size_t to) {
    std::size_t i = outline.at(stretch.first(), static_cast<std::ptrdiff_t>(from));
    for (std::size_t k = from; k < to; ++k, i = outline.next(i)) {
      const double weight = around.beside[k] * leaving.weight(k);
      if (weight > 0.0) {
        sums.add(weight, stretch.see(i));
      }
    }
  };
  add_beside(0, around.gap);
  add_beside(around.count - around.gap, around.count);
  RiseFit fit;
  fit.core(1) = fit.core(2) = 0.0;
  std::size_t i = outline.at(stretch.first(), static_cast<std::ptrdiff_t>(around.core_from));
  for (std::size_t k = around.core_from; k < around.count - around.core_from; ++k) {
    const RisePoint seen = stretch.see(i);
    fit.core(1) += around.core[k] * seen.x;
    fit.core(2) += around.core[k] * seen.q;
    fit.core_height += around.core[k] * seen.height;
    i = outline.next(i);
  }
  fit.right << sums.h0, sums.hx, sums.hq;
  fit.normal << sums.w0, sums.wx, sums.wq, sums.wx, sums.wxx, sums.wxq, sums.wq, sums.wxq, sums.wqq;
  return fit;
}

}  // namespace maturity
