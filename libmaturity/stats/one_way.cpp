#include "libmaturity/stats/one_way.h"

#include <algorithm>
#include <boost/math/distributions/fisher_f.hpp>
#include <cmath>
#include <cstddef>
#include <numeric>
#include <string>

#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

double sum_of(const std::vector<double>& values) {
  return std::accumulate(values.begin(), values.end(), 0.0);
}

double mean_of(const std::vector<double>& values) {
  const double first = sum_of(values) / static_cast<double>(values.size());
  double rest = 0.0;  // a second pass removes the rounding of large offsets
  for (const double value : values) {
    rest += value - first;
  }
  return first + rest / static_cast<double>(values.size());
}

void check(const std::vector<std::vector<double>>& groups) {
  if (groups.size() < 2) {
    reject_argument("groups", groups.size(), "at least 2");
  }
  bool replicated = false;
  for (std::size_t g = 0; g < groups.size(); ++g) {
    if (groups[g].empty()) {
      reject_argument("group " + std::to_string(g + 1), "empty", "at least one value");
    }
    replicated = replicated || groups[g].size() > 1;
    for (const double value : groups[g]) {
      if (!std::isfinite(value)) {
        reject_argument("group " + std::to_string(g + 1), value, "finite values");
      }
    }
  }
  if (!replicated) {
    reject_argument("groups", "one value each", "a group with at least 2 values");
  }
}

std::vector<double> predict_effects(const std::vector<std::vector<double>>& groups,
                                    const std::vector<double>& means, const OneWay& result) {
  double weight = 0.0;
  double weighted = 0.0;
  std::vector<double> variance(groups.size());
  for (std::size_t g = 0; g < groups.size(); ++g) {
    variance[g] =
        result.between_variance + result.within_variance / static_cast<double>(groups[g].size());
    weight += 1.0 / variance[g];
    weighted += (means[g] - result.mean) / variance[g];
  }
  std::vector<double> effects(groups.size(), 0.0);
  if (!(result.between_variance > 0.0)) {
    return effects;
  }
  const double centre = result.mean + weighted / weight;
  for (std::size_t g = 0; g < groups.size(); ++g) {
    effects[g] = result.between_variance / variance[g] * (means[g] - centre);
  }
  return effects;
}

}  // namespace

OneWay analyse_one_way(const std::vector<std::vector<double>>& groups) {
  check(groups);
  OneWay result;
  result.groups = static_cast<int>(groups.size());
  std::vector<double> all;
  std::vector<double> means;
  double squares = 0.0;
  for (const std::vector<double>& group : groups) {
    all.insert(all.end(), group.begin(), group.end());
    means.push_back(mean_of(group));
    squares += static_cast<double>(group.size() * group.size());
  }
  const auto n = static_cast<double>(all.size());
  result.count = static_cast<int>(all.size());
  result.mean = mean_of(all);
  for (std::size_t g = 0; g < groups.size(); ++g) {
    const double gap = means[g] - result.mean;
    result.between_sum_of_squares += static_cast<double>(groups[g].size()) * gap * gap;
    for (const double value : groups[g]) {
      result.within_sum_of_squares += (value - means[g]) * (value - means[g]);
    }
  }
  const double between_degrees = result.groups - 1.0;
  const double within_degrees = n - result.groups;
  result.between_mean_square = result.between_sum_of_squares / between_degrees;
  result.within_mean_square = result.within_sum_of_squares / within_degrees;
  result.within_variance = result.within_mean_square;
  result.residual_sd = std::sqrt(result.within_mean_square);
  const double total = result.between_sum_of_squares + result.within_sum_of_squares;
  result.r_squared = result.between_sum_of_squares / total;
  result.f_statistic = result.between_mean_square / result.within_mean_square;
  result.p_value =
      std::isfinite(result.f_statistic)
          ? boost::math::cdf(boost::math::complement(
                boost::math::fisher_f(between_degrees, within_degrees), result.f_statistic))
          : 0.0;
  const double group_size = (n - squares / n) / between_degrees;
  result.raw_between_variance =
      (result.between_mean_square - result.within_mean_square) / group_size;
  result.between_variance = std::max(0.0, result.raw_between_variance);
  result.intraclass_correlation =
      result.between_variance / (result.between_variance + result.within_variance);
  result.group_effects = predict_effects(groups, means, result);
  result.clustered_se =
      std::sqrt(result.between_variance * squares / (n * n) + result.within_variance / n);
  result.naive_se = std::sqrt(total / (n - 1.0) / n);
  return result;
}

}  // namespace maturity
