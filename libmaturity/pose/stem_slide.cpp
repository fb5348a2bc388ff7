#include "libmaturity/pose/stem_slide.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace maturity {

namespace {

/// Covariances of the errors of two bends 0, 1, ... points apart, 0 beyond.
std::vector<double> bend_covariances(const OutlineTraits& traits, const EdgeNoise& noise) {
  const std::vector<double> edge = noise.covariances(traits.step, traits.size() / 4);
  const auto at = [&](std::ptrdiff_t lag) {
    const auto k = static_cast<std::size_t>(std::abs(lag));
    return k < edge.size() ? edge[k] : 0.0;
  };
  const double reach = static_cast<double>(kBendSteps) * traits.step;
  const double per_reach4 = 1.0 / (reach * reach * reach * reach);
  std::vector<double> covariance(edge.size() + static_cast<std::size_t>(2 * kBendSteps));
  for (std::size_t k = 0; k < covariance.size(); ++k) {
    const auto lag = static_cast<std::ptrdiff_t>(k);
    covariance[k] =
        per_reach4 * (6.0 * at(lag) - 4.0 * at(lag - kBendSteps) - 4.0 * at(lag + kBendSteps) +
                      at(lag - 2 * kBendSteps) + at(lag + 2 * kBendSteps));
  }
  return covariance;
}

/// Sums over the places of a belief; all errors are those of the logarithms of the chances.
struct SecondOrder {
  /// Of each place: its error's covariance with the mean error, and with the slide.
  std::vector<double> with_mean;
  std::vector<double> with_slide;
  /// Variance of the mean error, its covariance with the slide, variance of the slide.
  double mean_mean = 0.0;
  double mean_slide = 0.0;
  double slide_slide = 0.0;
  /// Sum of the squared covariances, each weighed by how both places move the slide.
  double squares = 0.0;
};

}  // namespace

StemSlide stem_slide(const OutlineTraits& traits, const StemBelief& belief, const Point& axis,
                     const EdgeNoise& noise) {
  const std::size_t count = belief.chance.size();
  const std::vector<double> bends = bend_covariances(traits, noise);
  std::vector<double> slope(count);
  std::vector<double> off(count);
  for (std::size_t k = 0; k < count; ++k) {
    const std::size_t i = traits.at(belief.first, static_cast<std::ptrdiff_t>(k));
    slope[k] = -kFlatnessWeight * belief.length * flatness_slope(traits.bend[i] * belief.length);
    off[k] = (static_cast<double>(k) - belief.mean) * traits.step;
  }
  SecondOrder sums;
  sums.with_mean.assign(count, 0.0);
  sums.with_slide.assign(count, 0.0);
  double own = 0.0;
  double own_slide = 0.0;
  const double variance = bends[0];
  for (std::size_t k = 0; k < count; ++k) {
    const double pk = belief.chance[k];
    const double qk = pk * off[k];
    const std::size_t end = std::min(count, k + bends.size());
    for (std::size_t j = k; j < end; ++j) {
      const double c = slope[k] * slope[j] * bends[j - k];
      const double pj = belief.chance[j];
      const double qj = pj * off[j];
      sums.with_mean[k] += pj * c;
      sums.with_slide[k] += qj * c;
      if (j > k) {
        sums.with_mean[j] += pk * c;
        sums.with_slide[j] += qk * c;
      }
      sums.squares += (j > k ? 2.0 : 1.0) * qk * qj * c * c;
    }
    const double ckk = slope[k] * slope[k] * variance;
    own += pk * ckk;
    own_slide += qk * ckk;
  }
  double crossed = 0.0;
  for (std::size_t k = 0; k < count; ++k) {
    const double pk = belief.chance[k];
    const double qk = pk * off[k];
    sums.mean_mean += pk * sums.with_mean[k];
    sums.mean_slide += pk * sums.with_slide[k];
    sums.slide_slide += qk * sums.with_slide[k];
    crossed += qk * sums.with_slide[k] * sums.with_mean[k];
  }
  // Errors of the logarithms beyond 1 are beyond second order too: held there.
  const double held = std::min(1.0, 1.0 / own);
  const double zone = static_cast<double>(count) * traits.step;
  StemSlide slide;
  slide.scatter = std::clamp(
      0.5 * held * held *
          (sums.squares - 4.0 * crossed +
           2.0 * (sums.mean_slide * sums.mean_slide + sums.slide_slide * sums.mean_mean)),
      0.0, zone * zone / 12.0);
  slide.by_edge.assign(traits.size(), 0.0);
  const double reach = static_cast<double>(kBendSteps) * traits.step;
  const Point across(-axis.y(), axis.x());
  const double spread = kStemSpread * belief.length;
  for (std::size_t k = 0; k < count; ++k) {
    const std::size_t i = traits.at(belief.first, static_cast<std::ptrdiff_t>(k));
    const double ckk = slope[k] * slope[k] * variance;
    const double more = 0.5 * (ckk - own) - sums.with_mean[k] + sums.mean_mean;
    const double away = off[k] + held * (off[k] * more - sums.with_slide[k] +
                                         2.0 * sums.mean_slide - 0.5 * own_slide);
    const double by_height = slope[k] * belief.chance[k] * away / (reach * reach);
    slide.by_edge[i] += 2.0 * by_height;
    slide.by_edge[traits.at(i, kBendSteps)] -= by_height;
    slide.by_edge[traits.at(i, -kBendSteps)] -= by_height;
    const Point p = traits.points[i] - traits.centre;
    slide.by_axis += belief.chance[k] * off[k] * p.dot(across) * p.dot(axis) / (spread * spread);
  }
  return slide;
}

}  // namespace maturity
