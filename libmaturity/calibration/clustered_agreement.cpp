#include "libmaturity/calibration/clustered_agreement.h"

#include <algorithm>
#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <cstddef>
#include <functional>
#include <map>

#include "libmaturity/calibration/agreement.h"
#include "libmaturity/calibration/joined_interval.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

constexpr double kClusterUpperTail = 0.975;
constexpr double kClusterLowerTail = 0.025;

double average(const std::vector<double>& values) {
  double sum = 0.0;
  for (const double value : values) {
    sum += value;
  }
  return sum / static_cast<double>(values.size());
}

double squares_about_mean(const std::vector<double>& values) {
  const double mean = average(values);
  double sum = 0.0;
  for (const double value : values) {
    sum += (value - mean) * (value - mean);
  }
  return sum;
}

/// Errors of one level of grouping below another: squares about the group means, and what is needed
/// of the group sizes.
struct VarianceLevel {
  double squares = 0.0;
  double degrees = 0.0;
  double inverse_sizes = 0.0;
  double groups = 0.0;

  void add(const std::vector<double>& group) {
    squares += squares_about_mean(group);
    degrees += static_cast<double>(group.size()) - 1.0;
    inverse_sizes += 1.0 / static_cast<double>(group.size());
    groups += 1.0;
  }
  double mean_square() const { return degrees > 0.0 ? squares / degrees : 0.0; }
  /// What a mean square counts for in the sum of variances: 1 - 1 / harmonic mean of the sizes.
  double weight() const { return 1.0 - inverse_sizes / groups; }
};

/// Limits of a weighted sum of independent mean squares.
class VarianceSum {
 public:
  void add(double mean_square, double degrees, double weight) {
    const double part = weight * mean_square;
    if (!(part > 0.0) || !(degrees > 0.0)) {
      return;
    }
    const boost::math::chi_squared chi(degrees);
    const double below = 1.0 - degrees / boost::math::quantile(chi, kClusterUpperTail);
    const double above = degrees / boost::math::quantile(chi, kClusterLowerTail) - 1.0;
    total_ += part;
    low_ += part * part * below * below;
    high_ += part * part * above * above;
  }
  double total() const { return total_; }
  Bounds interval() const {
    return {std::max(0.0, total_ - std::sqrt(low_)), total_ + std::sqrt(high_)};
  }

 private:
  double total_ = 0.0;
  double low_ = 0.0;
  double high_ = 0.0;
};

using Visits = std::map<std::string, std::vector<double>>;

/// Reference and predicted values of the pairs that are whole, with their blocks.
struct Labelled {
  std::vector<double> reference;
  std::vector<double> predicted;
  std::vector<std::string> cluster;
  std::map<std::string, Visits> errors;
};

Labelled whole(const std::vector<double>& reference, const std::vector<double>& predicted,
               const std::vector<std::string>& cluster, const std::vector<std::string>& visit) {
  if (cluster.size() != reference.size() || predicted.size() != reference.size() ||
      (!visit.empty() && visit.size() != reference.size())) {
    reject_argument("cluster, visit", std::to_string(cluster.size()) + " labels",
                    std::to_string(reference.size()) + ", one per pair");
  }
  Labelled pairs;
  for (std::size_t i = 0; i < reference.size(); ++i) {
    if (std::isnan(reference[i]) || std::isnan(predicted[i])) {
      continue;
    }
    pairs.reference.push_back(reference[i]);
    pairs.predicted.push_back(predicted[i]);
    pairs.cluster.push_back(cluster[i]);
    pairs.errors[cluster[i]][visit.empty() ? std::string() : visit[i]].push_back(predicted[i] -
                                                                                 reference[i]);
  }
  return pairs;
}

bool differ(const std::vector<double>& values) {
  const auto [low, high] = std::minmax_element(values.begin(), values.end());
  return values.size() >= 3 && *high > *low;
}

/// Jackknife over blocks of what `measure` makes of an agreement; empty where it cannot be made.
std::optional<Bounds> leave_one_out(const Labelled& pairs, double whole_value, int clusters,
                                    const std::function<double(const Agreement&)>& measure) {
  double squares = 0.0;
  for (const auto& [left_out, unused] : pairs.errors) {
    std::vector<double> reference;
    std::vector<double> predicted;
    for (std::size_t i = 0; i < pairs.cluster.size(); ++i) {
      if (pairs.cluster[i] != left_out) {
        reference.push_back(pairs.reference[i]);
        predicted.push_back(pairs.predicted[i]);
      }
    }
    if (!differ(reference) || !differ(predicted)) {
      return std::nullopt;
    }
    const double gap = measure(agreement(reference, predicted)) - whole_value;
    squares += gap * gap;
  }
  const double degrees = clusters - 1.0;
  const double half = boost::math::quantile(boost::math::students_t(degrees), kClusterUpperTail) *
                      std::sqrt(degrees / clusters * squares);
  return std::isfinite(half) ? std::optional(Bounds{whole_value - half, whole_value + half})
                             : std::nullopt;
}

double fisher_z(const Agreement& one) {
  constexpr double kNearlyOne = 1.0 - 1e-12;
  const double correlation = std::min(kNearlyOne, std::sqrt(one.r_squared));
  return std::copysign(std::atanh(correlation), one.slope);
}

std::optional<Bounds> squared(const std::optional<Bounds>& z) {
  if (!z) {
    return std::nullopt;
  }
  const double low = std::tanh(z->low) * std::tanh(z->low);
  const double high = std::tanh(z->high) * std::tanh(z->high);
  return Bounds{z->low * z->high < 0.0 ? 0.0 : std::min(low, high), std::max(low, high)};
}

}  // namespace

std::optional<ClusteredAgreement> clustered_agreement(const std::vector<double>& reference,
                                                      const std::vector<double>& predicted,
                                                      const std::vector<std::string>& cluster,
                                                      const std::vector<std::string>& visit,
                                                      PredictedBy by) {
  const Labelled pairs = whole(reference, predicted, cluster, visit);
  const Agreement plain = agreement(pairs.reference, pairs.predicted);
  ClusteredAgreement result;
  result.clusters = static_cast<int>(pairs.errors.size());
  if (result.clusters < kFewestClusters) {
    return std::nullopt;
  }
  VarianceLevel fruit;
  VarianceLevel visits;
  std::vector<double> cluster_means;
  for (const auto& [label, by_visit] : pairs.errors) {
    std::vector<double> visit_means;
    for (const auto& [name, errors] : by_visit) {
      fruit.add(errors);
      visit_means.push_back(average(errors));
    }
    visits.add(visit_means);
    cluster_means.push_back(average(visit_means));
  }
  const double k = result.clusters;
  const bool left_out = by == PredictedBy::left_out_blocks;
  const double between = squares_about_mean(cluster_means) / (left_out ? k : k - 1.0);
  const double half = boost::math::quantile(boost::math::students_t(k - 1.0), kClusterUpperTail) *
                      std::sqrt(between / k);
  result.bias = average(cluster_means);
  result.bias_interval = {result.bias - half, result.bias + half};
  constexpr double kRounding = 1e-9;
  result.bias_significant = std::abs(result.bias) > half + kRounding;

  VarianceSum sum;
  sum.add(between, k - 1.0, 1.0);
  sum.add(visits.mean_square(), visits.degrees, visits.weight());
  sum.add(fruit.mean_square(), fruit.degrees, fruit.weight());
  result.sep = std::sqrt(sum.total());
  result.sep_interval = {std::sqrt(sum.interval().low), std::sqrt(sum.interval().high)};
  // The squared mean of so few blocks is too large by its own variance; that of left-out blocks is
  // near 0 by construction.
  result.rmsep = std::sqrt(
      std::max(0.0, result.bias * result.bias - (left_out ? 0.0 : between / k) + sum.total()));
  result.rmsep_interval =
      joined_interval(result.bias, result.bias_interval, sum.total(), sum.interval());

  result.slope = plain.slope;
  result.slope_interval = leave_one_out(pairs, plain.slope, result.clusters,
                                        [](const Agreement& one) { return one.slope; });
  result.slope_significant = result.slope_interval && (result.slope_interval->low > 1.0 ||
                                                       result.slope_interval->high < 1.0);
  result.r_squared = plain.r_squared;
  result.r_squared_interval =
      squared(leave_one_out(pairs, fisher_z(plain), result.clusters, fisher_z));
  result.rpd_sep = plain.reference_sd / result.sep;
  result.rpd_sep_interval = {plain.reference_sd / result.sep_interval.high,
                             plain.reference_sd / result.sep_interval.low};
  return result;
}

}  // namespace maturity
