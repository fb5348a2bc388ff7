#include "libmaturity/field/walk_result.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <string>

#include "libmaturity/stats/one_way.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

WalkResult walk_result(const std::vector<std::vector<double>>& values,
                       const std::vector<TreePlace>& places) {
  if (values.empty()) {
    reject_argument("values", "no tree", "at least one tree");
  }
  if (!places.empty() && places.size() != values.size()) {
    reject_argument("places", std::to_string(places.size()), "one per tree, or none");
  }
  WalkResult result;
  result.trees = static_cast<int>(values.size());
  std::vector<double> means;
  bool repeated = false;
  for (std::size_t t = 0; t < values.size(); ++t) {
    if (values[t].empty()) {
      reject_argument("values, tree " + std::to_string(t + 1), "no fruit", "at least one fruit");
    }
    double mean = 0.0;
    for (const double value : values[t]) {
      if (!std::isfinite(value)) {
        reject_argument("values, tree " + std::to_string(t + 1), value, "finite values, %");
      }
      mean += value / static_cast<double>(values[t].size());
    }
    means.push_back(mean);
    result.mean += mean / static_cast<double>(values.size());
    result.fruit += static_cast<int>(values[t].size());
    repeated = repeated || values[t].size() > 1;
  }
  if (values.size() < 2) {
    return result;
  }
  if (repeated) {
    const OneWay parts = analyse_one_way(values);
    result.between_variance = parts.between_variance;
    result.within_variance = parts.within_variance;
  }
  double squares = 0.0;
  for (const double mean : means) {
    squares += (mean - result.mean) * (mean - result.mean);
  }
  const auto k = static_cast<double>(means.size());
  result.random_error = std::sqrt(squares / (k - 1.0) / k);
  if (!places.empty() && result.trees >= kFewestBalancedTrees) {
    result.balanced_error = balanced_standard_error(places, means);
    if (*result.random_error > 0.0) {
      result.balance = std::min(1.0, std::pow(*result.balanced_error / *result.random_error, 2));
    }
  }
  return result;
}

}  // namespace maturity
