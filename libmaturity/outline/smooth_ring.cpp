#include "libmaturity/outline/smooth_ring.h"

#include <Eigen/Core>
#include <algorithm>

#include "libmaturity/core/ring_index.h"

namespace maturity {

namespace {

// So many places of the ring are fitted side by side.
constexpr int kAbreast = 4;
using Lanes = Eigen::Array<double, kAbreast, 1>;

struct Quadratic {
  Lanes level;
  Lanes slope;
  Lanes bend;
};

// Weighted sums over powers of t, and the least-squares quadratic by Cholesky, written out: there
// are some ten thousand of them in a photo.
struct Sums {
  Lanes w = Lanes::Zero();
  Lanes wt = Lanes::Zero();
  Lanes wt2 = Lanes::Zero();
  Lanes wt3 = Lanes::Zero();
  Lanes wt4 = Lanes::Zero();
  Lanes y = Lanes::Zero();
  Lanes yt = Lanes::Zero();
  Lanes yt2 = Lanes::Zero();

  void add(const Lanes& weight, double t, const Lanes& value) {
    const Lanes by_t = weight * t;
    const Lanes by_t2 = by_t * t;
    w += weight;
    wt += by_t;
    wt2 += by_t2;
    wt3 += by_t2 * t;
    wt4 += by_t2 * (t * t);
    y += weight * value;
    yt += by_t * value;
    yt2 += by_t2 * value;
  }

  Quadratic solve() const {
    constexpr double kRidge = 1e-9;
    const Lanes d0 = w + kRidge;
    const Lanes l10 = wt / d0;
    const Lanes l20 = wt2 / d0;
    const Lanes d1 = wt2 + kRidge - l10 * wt;
    const Lanes rest = wt3 - l20 * wt;
    const Lanes l21 = rest / d1;
    const Lanes d2 = wt4 + kRidge - l20 * wt2 - l21 * rest;
    const Lanes b1 = yt - l10 * y;
    const Lanes bend = (yt2 - l20 * y - l21 * b1) / d2;
    const Lanes slope = b1 / d1 - l21 * bend;
    return {y / d0 - l10 * slope - l20 * bend, slope, bend};
  }
};

// The ring with its end before it and its beginning after it, for windows of places side by side.
std::vector<double> unrolled(const std::vector<double>& ring, std::size_t before) {
  const std::size_t n = ring.size();
  std::vector<double> line(n + 2 * before + kAbreast);
  std::size_t j = ring_before(0, before, n);
  for (double& value : line) {
    value = ring[j];
    j = ring_next(j, n);
  }
  return line;
}

}  // namespace

std::vector<double> smooth_ring(const std::vector<double>& offsets,
                                const std::vector<double>& weights, int half_window) {
  constexpr int kRounds = 3;
  constexpr double kOutlying = 0.7;  // px
  const std::size_t n = offsets.size();
  const auto before = static_cast<std::size_t>(half_window);
  const std::size_t width = 2 * before + 1;
  std::vector<double> place(width);  // -1 to 1 across the window
  std::vector<double> near(width);
  for (std::size_t k = 0; k < width; ++k) {
    place[k] = static_cast<double>(static_cast<int>(k) - half_window) / half_window;
    const double fade = 1.0 - place[k] * place[k];
    near[k] = fade * fade + 0.02;
  }
  const std::vector<double> ys = unrolled(offsets, before);
  const std::vector<double> ws = unrolled(weights, before);
  std::vector<double> smooth(n + kAbreast);
  for (std::size_t i = 0; i < n; i += kAbreast) {
    Quadratic fit{Lanes::Zero(), Lanes::Zero(), Lanes::Zero()};
    for (int round = 0; round < kRounds; ++round) {
      Sums sums;
      for (std::size_t k = 0; k < width; ++k) {
        const Lanes value = Eigen::Map<const Lanes>(&ys[i + k]);
        Lanes weight = near[k] * Eigen::Map<const Lanes>(&ws[i + k]);
        if (round > 0) {
          const Lanes off =
              (value - (fit.level + place[k] * (fit.slope + place[k] * fit.bend))) / kOutlying;
          weight /= 1.0 + off.square();
        }
        sums.add(weight, place[k], value);
      }
      fit = sums.solve();
    }
    std::copy_n(fit.level.data(), kAbreast, &smooth[i]);
  }
  smooth.resize(n);
  return smooth;
}

}  // namespace maturity
