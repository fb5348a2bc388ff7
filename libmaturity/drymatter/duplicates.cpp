#include "libmaturity/drymatter/duplicates.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numeric>

#include "libmaturity/drymatter/dm_range.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

constexpr std::size_t kFewestPairs = 5;
// 15.3 and 15.1 are 0.2 apart, whatever binary fractions make of it.
constexpr double kRounding = 1e-9;

void check_fruit(double value) {
  if (!(value >= kLowestDmPct && value <= kHighestDmPct)) {
    reject_argument("dm_pct", value, "3 to 40 % of fresh weight");
  }
}

}  // namespace

Duplicates combine_duplicates(const std::vector<double>& dm_pct,
                              const std::vector<double>& error_sd_pct, double limit_pct) {
  if (dm_pct.empty() || dm_pct.size() != error_sd_pct.size()) {
    reject_argument("error_sd_pct", error_sd_pct.size(), "one per reading, and a reading");
  }
  if (!(limit_pct >= 0.0)) {
    reject_argument("limit_pct", limit_pct, "at least 0 points");
  }
  Duplicates result;
  const auto n = static_cast<double>(dm_pct.size());
  double error_squares = 0.0;
  for (std::size_t i = 0; i < dm_pct.size(); ++i) {
    check_fruit(dm_pct[i]);
    if (!(error_sd_pct[i] >= 0.0) || !std::isfinite(error_sd_pct[i])) {
      reject_argument("error_sd_pct", error_sd_pct[i], "at least 0 %");
    }
    error_squares += error_sd_pct[i] * error_sd_pct[i];
  }
  result.readings = static_cast<int>(dm_pct.size());
  result.mean_pct = std::accumulate(dm_pct.begin(), dm_pct.end(), 0.0) / n;
  const auto [low, high] = std::minmax_element(dm_pct.begin(), dm_pct.end());
  result.apart_pct = *high - *low;
  result.too_far_apart = result.apart_pct > limit_pct + kRounding;
  double spread = 0.0;
  for (const double value : dm_pct) {
    spread += (value - result.mean_pct) * (value - result.mean_pct);
  }
  const double observed = n > 1.0 ? spread / (n - 1.0) / n : 0.0;
  result.error_sd_pct = std::sqrt(std::max(error_squares / (n * n), observed));
  return result;
}

double fruit_error_sd_pct(const std::vector<double>& cheek_error_sd_pct, double cheek_sd) {
  double squares = 0.0;
  for (const double error : cheek_error_sd_pct) {
    if (!(error >= 0.0) || !std::isfinite(error) || !(cheek_sd >= 0.0)) {
      reject_argument("cheek_error_sd_pct, cheek_sd", std::min(error, cheek_sd), "at least 0 %");
    }
    squares += error * error + cheek_sd * cheek_sd;
  }
  if (cheek_error_sd_pct.empty()) {
    reject_argument("cheek_error_sd_pct", "none", "at least one cheek");
  }
  return std::sqrt(squares) / static_cast<double>(cheek_error_sd_pct.size());
}

std::optional<double> cheek_sd_pct(const std::vector<CheekPair>& pairs, double error_sd_pct) {
  if (!(error_sd_pct >= 0.0) || !std::isfinite(error_sd_pct)) {
    reject_argument("error_sd_pct", error_sd_pct, "at least 0 %");
  }
  double squares = 0.0;
  for (const CheekPair& pair : pairs) {
    check_fruit(pair.one_pct);
    check_fruit(pair.other_pct);
    squares += (pair.one_pct - pair.other_pct) * (pair.one_pct - pair.other_pct);
  }
  if (pairs.size() < kFewestPairs) {
    return std::nullopt;
  }
  const double variance = squares / static_cast<double>(pairs.size()) / 2.0;
  return std::sqrt(std::max(0.0, variance - error_sd_pct * error_sd_pct));
}

}  // namespace maturity
