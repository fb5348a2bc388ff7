#include "libmaturity/photo/edge_profile.h"

#include <algorithm>
#include <cmath>

#include "libmaturity/photo/linear_light.h"

namespace maturity {

namespace {

constexpr double kStep = 0.5;  // px between samples: bilinear reading holds no more detail
constexpr double kLeastContrast = 0.02;  // linear light; below it sensor noise looks like a step

}  // namespace

std::optional<StepEdge> find_step(const Photo& photo, const Point& middle, const Point& direction,
                                  double half_width_px) {
  const int half = std::max(3, static_cast<int>(std::lround(half_width_px / kStep)));
  std::vector<double> light;
  for (int i = -half; i <= half; ++i) {
    light.push_back(sample_light(photo, middle + kStep * i * direction));
  }
  // Peak of the gradient, smoothed over three steps so that one noisy pixel does not win.
  std::size_t peak = 0;
  double strongest = 0.0;
  for (std::size_t i = 2; i + 2 < light.size(); ++i) {
    const double slope = light[i + 2] + light[i + 1] - light[i - 1] - light[i - 2];
    if (std::abs(slope) > std::abs(strongest)) {
      strongest = slope;
      peak = i;
    }
  }
  if (strongest == 0.0) {
    return std::nullopt;
  }
  // The ramp around the peak: as far as the gradient keeps its sign, at most 3 px each way. What
  // rounding leaves of a flat stretch is no gradient.
  const double sign = strongest > 0.0 ? 1.0 : -1.0;
  const double flat = 1e-9 * std::abs(strongest);
  constexpr std::size_t kReach = 6;
  std::size_t first = peak;
  while (first > 0 && peak - first < kReach && sign * (light[first] - light[first - 1]) > flat) {
    --first;
  }
  std::size_t last = peak;
  while (last + 1 < light.size() && last - peak < kReach &&
         sign * (light[last + 1] - light[last]) > flat) {
    ++last;
  }
  const double rise = light[last] - light[first];
  if (std::abs(rise) < kLeastContrast) {
    return std::nullopt;
  }
  double moment = 0.0;
  double second = 0.0;
  for (std::size_t i = first; i < last; ++i) {
    const double at = static_cast<double>(i) + 0.5;
    const double weight = (light[i + 1] - light[i]) / rise;
    moment += weight * at;
    second += weight * at * at;
  }
  // 10 to 90 % of a normal ramp is 2.563 standard deviations.
  const double width = 2.563 * kStep * std::sqrt(std::max(0.0, second - moment * moment));
  return StepEdge{kStep * (moment - half), rise, width};
}

}  // namespace maturity
