#include "tools/simulate/real_fruit.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <map>
#include <string>
#include <utility>

#include "libmaturity/stats/normal.h"

namespace maturity::simulate {

FruitSource::FruitSource(const Population& group, FruitKind kind)
    : kind_(kind), facts_(facts_of(group)) {
  std::map<std::pair<double, std::string>, std::vector<double>> fruit;
  for (std::size_t i = 0; i < group.oven.size(); ++i) {
    fruit[{group.oven[i], group.fruit[i]}].push_back(group.meter[i]);
  }
  for (const auto& [each, readings] : fruit) {
    oven_.push_back(each.first);
    readings_.push_back(readings);
  }
  const auto n = static_cast<double>(oven_.size());
  mean_ = mean_of(oven_);
  sd_ = sd_of(oven_) * std::sqrt((n - 1.0) / n);
  mean_reading_ = mean_of(group.meter);
  if (kind == FruitKind::smoothed) {
    constexpr double kSilverman = 1.06;
    kernel_ = kSilverman * sd_ * std::pow(n, -0.2);
    drawn_in_ = std::sqrt(1.0 + kernel_ * kernel_ / (sd_ * sd_));
  }
}

double FruitSource::share(double minimum) const {
  if (kind_ == FruitKind::made_normal) {
    return normal_cdf((mean_ - minimum) / sd_);
  }
  double above = 0.0;
  for (const double fruit : oven_) {
    above += kind_ == FruitKind::own
                 ? (fruit >= minimum ? 1.0 : 0.0)
                 : normal_cdf((fruit - mean_ - (minimum - mean_) * drawn_in_) / kernel_);
  }
  return above / static_cast<double>(oven_.size());
}

double FruitSource::minimum(double share_wanted) const {
  if (kind_ == FruitKind::own) {
    const auto below = static_cast<std::size_t>(
        std::ceil((1.0 - share_wanted) * static_cast<double>(oven_.size())));
    return 0.5 * (oven_[below - 1] + oven_[below]);
  }
  constexpr double kFar = 10.0;
  double low = mean_ - kFar * sd_;
  double high = mean_ + kFar * sd_;
  while (high - low > 1e-9) {
    const double middle = 0.5 * (low + high);
    (share(middle) >= share_wanted ? low : high) = middle;
  }
  return low;
}

FruitPair FruitSource::draw(RandomStream& random) const {
  if (kind_ == FruitKind::made_normal) {
    const double off = sd_ * normal_number(random);
    return {mean_ + off,
            mean_reading_ + facts_.slope * off + facts_.about_line * normal_number(random)};
  }
  const std::size_t pick = random.below(oven_.size());
  const double reading = readings_[pick][random.below(readings_[pick].size())];
  if (kind_ == FruitKind::own) {
    return {oven_[pick], reading};
  }
  const double moved = mean_ + (oven_[pick] - mean_ + kernel_ * normal_number(random)) / drawn_in_;
  return {moved, reading + facts_.slope * (moved - oven_[pick])};
}

double normal_number(RandomStream& random) {
  constexpr double kHalfStep = 0x1.0p-54;
  return normal_quantile(random.uniform() + kHalfStep);
}

}  // namespace maturity::simulate
