#include "libmaturity/calibration/meter_moments.h"

#include <cmath>
#include <cstddef>

namespace maturity {

void MeterMoments::add(const MeterMoments& other) {
  pairs += other.pairs;
  oven_squares += other.oven_squares;
  meter_squares += other.meter_squares;
  both += other.both;
}

std::map<std::string, MeterMoments> meter_moments(const MeterPairs& pairs,
                                                  const std::vector<std::string>& block) {
  std::map<std::string, MeterMoments> blocks;
  const auto each = [&](const auto& use) {
    for (std::size_t i = 0; i < block.size(); ++i) {
      if (!std::isnan(pairs.oven[i]) && !std::isnan(pairs.meter[i])) {
        use(blocks[block[i]], pairs.oven[i], pairs.meter[i]);
      }
    }
  };
  each([](MeterMoments& one, double oven, double meter) {
    ++one.pairs;
    one.oven_mean += oven;
    one.meter_mean += meter;
  });
  for (auto& [label, one] : blocks) {
    one.oven_mean /= one.pairs;
    one.meter_mean /= one.pairs;
  }
  each([](MeterMoments& one, double oven, double meter) {
    const double x = oven - one.oven_mean;
    const double y = meter - one.meter_mean;
    one.oven_squares += x * x;
    one.meter_squares += y * y;
    one.both += x * y;
  });
  return blocks;
}

}  // namespace maturity
