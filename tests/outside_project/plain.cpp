// The same questions in types of the standard library: compiled where Eigen and OpenCV are not
// found.
#include <libmaturity/core/version.h>
#include <libmaturity/plain/block.h>
#include <libmaturity/plain/photos.h>

#if __has_include(<Eigen/Core>) || __has_include(<opencv2/core.hpp>)
#error "the headers of Eigen or OpenCV are in reach: this check shows nothing"
#endif

#include <cmath>
#include <iostream>

int main() {
  const double oven[] = {15.9, 16.8, 17.2, 15.1, 14.6, 16.3, 18.0, 16.9, 15.7, 16.4};
  std::vector<maturity::plain::SampledFruit> fruit;
  for (const double dm : oven) {
    fruit.push_back({std::to_string(fruit.size() / 2), {}, dm, {}});
  }
  const auto estimate = maturity::plain::estimate_block(fruit, {15.0, 0.9, 0.9});
  // The reference of main.cpp.
  const bool right = std::abs(estimate.readiness.value_or(0.0) - 39.2412) < 0.01;
  const auto photos = maturity::plain::measure_photos({"no such photo.jpg"});
  const bool named = photos.size() == 1 && photos[0].error.has_value();
  std::cout << "libmaturity " << maturity::version() << " in plain types: readiness "
            << estimate.readiness.value_or(0.0) << ", " << estimate.decision << '\n';
  return right && named ? 0 : 1;
}
