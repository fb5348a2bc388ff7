#include "libmaturity/pose/slide_variance.h"

namespace maturity {

double slide_variance(const OutlineTraits& traits, const std::vector<double>& by_edge,
                      std::size_t first, std::size_t count, const EdgeNoise& noise) {
  const std::vector<double> covariance = noise.covariances(traits.step, traits.size() / 4);
  double sum = 0.0;
  for (std::size_t a = 0; a < count; ++a) {
    const double by_a = by_edge[traits.at(first, static_cast<std::ptrdiff_t>(a))];
    double with = 0.5 * covariance[0] * by_a;
    for (std::size_t apart = 1; apart < covariance.size() && a + apart < count; ++apart) {
      with += covariance[apart] * by_edge[traits.at(first, static_cast<std::ptrdiff_t>(a + apart))];
    }
    sum += 2.0 * by_a * with;
  }
  return sum;
}

}  // namespace maturity
