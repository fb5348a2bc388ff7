#include "libmaturity/stats/two_stage.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <map>
#include <string>

#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

void check_variance(const char* name, double value) {
  if (!(value >= 0.0) || !std::isfinite(value)) {
    reject_argument(name, value, "a variance, at least 0");
  }
}

void check_count(const char* name, int value) {
  if (value < 1) {
    reject_argument(name, value, "at least 1");
  }
}

}  // namespace

double two_stage_standard_error(double between_variance, double within_variance, int trees,
                                int fruit) {
  check_variance("between_variance", between_variance);
  check_variance("within_variance", within_variance);
  check_count("trees", trees);
  check_count("fruit", fruit);
  return std::sqrt((between_variance + within_variance / fruit) / trees);
}

double design_effect(double fruit, double intraclass_correlation) {
  if (!(fruit >= 1.0) || !std::isfinite(fruit)) {
    reject_argument("fruit", fruit, "at least 1");
  }
  if (!(intraclass_correlation >= 0.0 && intraclass_correlation <= 1.0)) {
    reject_argument("intraclass_correlation", intraclass_correlation, "within 0 to 1");
  }
  return 1.0 + (fruit - 1.0) * intraclass_correlation;
}

double best_fruit_per_tree(double cost_ratio, double intraclass_correlation) {
  if (!(cost_ratio > 0.0) || !std::isfinite(cost_ratio)) {
    reject_argument("cost_ratio", cost_ratio, "more than 0");
  }
  if (!(intraclass_correlation > 0.0 && intraclass_correlation < 1.0)) {
    reject_argument("intraclass_correlation", intraclass_correlation, "between 0 and 1");
  }
  return std::sqrt(cost_ratio * (1.0 - intraclass_correlation) / intraclass_correlation);
}

int trees_for_standard_error(double standard_error, double between_variance, double within_variance,
                             int fruit) {
  if (!(standard_error > 0.0) || !std::isfinite(standard_error)) {
    reject_argument("standard_error", standard_error, "more than 0");
  }
  const double one_tree = two_stage_standard_error(between_variance, within_variance, 1, fruit);
  const double wanted = one_tree * one_tree / (standard_error * standard_error);
  if (wanted > std::numeric_limits<int>::max()) {
    reject_argument("standard_error", standard_error, "an error within reach");
  }
  // A hair of rounding must not buy another tree.
  return std::max(1, static_cast<int>(std::ceil(wanted * (1.0 - 1e-12))));
}

ClusteredMean clustered_mean(const std::vector<double>& values,
                             const std::vector<std::string>& clusters) {
  if (values.empty() || values.size() != clusters.size()) {
    reject_argument("clusters", std::to_string(clusters.size()) + " labels",
                    std::to_string(values.size()) + ", one per value, and at least one");
  }
  ClusteredMean result;
  const auto n = static_cast<double>(values.size());
  for (const double value : values) {
    if (!std::isfinite(value)) {
      reject_argument("values", value, "finite values");
    }
    result.mean += value / n;
  }
  std::map<std::string, double> totals;
  double squares = 0.0;
  for (std::size_t i = 0; i < values.size(); ++i) {
    const double residual = values[i] - result.mean;
    totals[clusters[i]] += residual;
    squares += residual * residual;
  }
  double between = 0.0;
  for (const auto& [label, total] : totals) {
    between += total * total;
  }
  const auto k = static_cast<double>(totals.size());
  result.clusters = static_cast<int>(totals.size());
  result.count = static_cast<int>(values.size());
  const double variance =
      k > 1.0 ? k / (k - 1.0) * between / (n * n) : std::numeric_limits<double>::quiet_NaN();
  result.standard_error = std::sqrt(variance);
  result.design_effect = variance / (squares / (n - 1.0) / n);
  return result;
}

}  // namespace maturity
