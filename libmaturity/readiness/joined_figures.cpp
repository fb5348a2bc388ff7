#include "libmaturity/readiness/joined_figures.h"

#include <Eigen/Cholesky>
#include <algorithm>
#include <boost/random/sobol.hpp>
#include <cmath>
#include <cstddef>
#include <limits>
#include <string>
#include <vector>

#include "libmaturity/readiness/block_mixture.h"
#include "libmaturity/readiness/group_draws.h"
#include "libmaturity/stats/normal.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

constexpr std::size_t kPoints = 2048;
constexpr double kInHundred = 100.0;

/// Square root of a correlation; pulled towards none until it is one.
Eigen::MatrixXd root_of(const Eigen::MatrixXd& correlation) {
  Eigen::MatrixXd none = Eigen::MatrixXd::Identity(correlation.rows(), correlation.cols());
  constexpr int kPulls = 10;
  for (int pull = 0; pull < kPulls; ++pull) {
    const double part = static_cast<double>(pull) / kPulls;
    const Eigen::LLT<Eigen::MatrixXd> root((1.0 - part) * correlation + part * none);
    if (root.info() == Eigen::Success) {
      return root.matrixL();
    }
  }
  return none;
}

double share_above(const std::vector<Level>& levels, const std::vector<double>& weights,
                   double dm_pct) {
  double share = 0.0;
  for (std::size_t g = 0; g < levels.size(); ++g) {
    share += weights[g] * normal_cdf((levels[g].mean - dm_pct) / levels[g].spread);
  }
  return share;
}

/// Dry matter that `share` of the fruit reaches: Newton steps kept within a bracket, which each
/// group's own psi makes.
double psi_of(const std::vector<Level>& levels, const std::vector<double>& weights, double share) {
  constexpr int kMostNewtonSteps = 60;
  constexpr double kClose = 1e-6;
  const double z = normal_quantile(share);
  double low = std::numeric_limits<double>::infinity();
  double high = -low;
  for (const Level& level : levels) {
    low = std::min(low, level.mean - z * level.spread);
    high = std::max(high, level.mean - z * level.spread);
  }
  double x = 0.5 * (low + high);
  for (int step = 0; step < kMostNewtonSteps && high - low > kClose; ++step) {
    const double off = share_above(levels, weights, x) - share;
    (off > 0.0 ? low : high) = x;
    double density = 0.0;
    for (std::size_t g = 0; g < levels.size(); ++g) {
      const double u = (levels[g].mean - x) / levels[g].spread;
      density += weights[g] * normal_density(u) / levels[g].spread;
    }
    const double next = x + off / density;
    if (std::abs(next - x) < kClose) {
      return next;
    }
    x = next > low && next < high ? next : 0.5 * (low + high);
  }
  return x;
}

double spread_of(const std::vector<Level>& levels, const std::vector<double>& weights) {
  double mean = 0.0;
  double square = 0.0;
  for (std::size_t g = 0; g < levels.size(); ++g) {
    const Level& one = levels[g];
    mean += weights[g] * one.mean;
    square += weights[g] * (one.spread * one.spread + one.mean * one.mean);
  }
  return std::sqrt(std::max(0.0, square - mean * mean));
}

/// Values of one figure over all points.
class Values {
 public:
  void add(double value) { values_.push_back(value); }
  void sort() { std::sort(values_.begin(), values_.end()); }
  /// After sort().
  double quantile(double probability) const {
    const double place = probability * static_cast<double>(values_.size()) - 0.5;
    const auto left =
        static_cast<std::size_t>(std::clamp(place, 0.0, static_cast<double>(values_.size() - 2)));
    return values_[left] +
           (place - static_cast<double>(left)) * (values_[left + 1] - values_[left]);
  }
  Interval middle(double probability) const {
    return {quantile(0.5 - 0.5 * probability), quantile(0.5 + 0.5 * probability)};
  }
  double at_least(double value) const {
    const auto below = std::lower_bound(values_.begin(), values_.end(), value) - values_.begin();
    return 1.0 - static_cast<double>(below) / static_cast<double>(values_.size());
  }
  MeanSd moments() const {
    double mean = 0.0;
    for (const double one : values_) {
      mean += one / static_cast<double>(values_.size());
    }
    double variance = 0.0;
    for (const double one : values_) {
      variance += (one - mean) * (one - mean) / static_cast<double>(values_.size());
    }
    return {mean, std::sqrt(variance)};
  }

 private:
  std::vector<double> values_;
};

/// Exact moments of SUM w M from those of w (Dirichlet) and M.
MeanSd mean_of(const std::vector<MeanSd>& means, const CropShares& shares,
               const Eigen::MatrixXd& correlation) {
  double number = 0.0;
  for (const double one : shares.concentration) {
    number += one;
  }
  const double shrink = number > 0.0 ? 1.0 / (number + 1.0) : 0.0;
  double mean = 0.0;
  double square = 0.0;
  for (std::size_t g = 0; g < means.size(); ++g) {
    mean += shares.share[g] * means[g].mean;
    for (std::size_t h = 0; h < means.size(); ++h) {
      const double same = g == h ? 1.0 : 0.0;
      const double weights =
          shares.share[g] * shares.share[h] * (1.0 - shrink) + same * shares.share[g] * shrink;
      const double r =
          g == h ? 1.0 : correlation(static_cast<Eigen::Index>(g), static_cast<Eigen::Index>(h));
      square += weights * (means[g].mean * means[h].mean + r * means[g].sd * means[h].sd);
    }
  }
  return {mean, std::sqrt(std::max(0.0, square - mean * mean))};
}

void copy_figures(const BlockEstimate& from, BlockEstimate& block) {
  block.mean_dm_pct = from.mean_dm_pct;
  block.mean_dm_sd = from.mean_dm_sd;
  block.mean_dm_interval = from.mean_dm_interval;
  block.mean_dm_interval_80 = from.mean_dm_interval_80;
  block.share_mature = from.share_mature;
  block.share_interval = from.share_interval;
  block.share_interval_80 = from.share_interval_80;
  block.psi_mean = from.psi_mean;
  block.psi_sd = from.psi_sd;
  block.spread_sd = from.spread_sd;
  block.spread_sd_se = from.spread_sd_se;
  block.readiness = from.readiness;
}

/// The groups that have a part of the crop.
struct Parts {
  std::vector<Eigen::Index> rows;
  CropShares shares;
  std::vector<GroupDraws> draws;
  std::vector<MeanSd> means;
};

Parts parts_of(const std::vector<EstimatedBlock>& groups, const CropShares& shares,
               double minimum) {
  Parts parts;
  for (std::size_t g = 0; g < groups.size(); ++g) {
    if (shares.share[g] == 0.0) {
      continue;
    }
    const EstimatedBlock& group = groups[g];
    if (group.nodes.empty()) {
      reject_argument("group " + std::to_string(g + 1), "no dry matter",
                      "a reading in every group that has a part of the crop");
    }
    parts.rows.push_back(static_cast<Eigen::Index>(g));
    parts.shares.share.push_back(shares.share[g]);
    if (!shares.concentration.empty()) {
      parts.shares.concentration.push_back(shares.concentration[g]);
    }
    parts.draws.emplace_back(group.nodes, minimum);
    parts.means.push_back(BlockMixture(group.nodes, minimum).mean());
  }
  return parts;
}

/// What the block comes to at every point; mean and share sorted.
struct Drawn {
  Values mean;
  Values share;
  Values psi;
  Values spread;
};

Drawn draw(const Parts& parts, const Eigen::MatrixXd& correlation, const BlockRule& rule) {
  const Eigen::MatrixXd root = root_of(correlation);
  const ShareDraws share_draws(parts.shares);
  const std::size_t count = parts.draws.size();
  const std::size_t dimensions = 3 * count + share_draws.dimensions();
  boost::random::sobol sobol(dimensions);
  const double scale = 1.0 / (static_cast<double>(boost::random::sobol::max()) + 1.0);
  std::vector<double> u(dimensions);
  std::vector<double> z(dimensions);
  std::vector<Level> levels(count);
  Drawn drawn;
  for (std::size_t point = 0; point < kPoints; ++point) {
    for (std::size_t d = 0; d < dimensions; ++d) {
      u[d] = (static_cast<double>(sobol()) + 0.5) * scale;
      // The first `count` choose nodes and stay uniform.
      z[d] = d < count ? 0.0 : normal_quantile(u[d]);
    }
    const Eigen::VectorXd of_mean = root * Eigen::Map<const Eigen::VectorXd>(
                                               z.data() + count, static_cast<Eigen::Index>(count));
    const std::vector<double> weights = share_draws.at(z.data() + 3 * count);
    double level = 0.0;
    for (std::size_t g = 0; g < count; ++g) {
      levels[g] = parts.draws[g].at(u[g], of_mean[static_cast<Eigen::Index>(g)], z[2 * count + g]);
      level += weights[g] * levels[g].mean;
    }
    drawn.mean.add(level);
    drawn.share.add(share_above(levels, weights, rule.minimum_dm_pct));
    drawn.psi.add(psi_of(levels, weights, rule.required_share));
    drawn.spread.add(spread_of(levels, weights));
  }
  drawn.mean.sort();
  drawn.share.sort();
  return drawn;
}

}  // namespace

void join_groups(const std::vector<EstimatedBlock>& groups, const CropShares& shares,
                 const Eigen::MatrixXd& correlation, BlockEstimate& block) {
  const auto size = static_cast<Eigen::Index>(groups.size());
  if (groups.empty() || shares.share.size() != groups.size() || correlation.rows() != size ||
      correlation.cols() != size) {
    reject_argument("shares", std::to_string(shares.share.size()) + " groups",
                    "one for each of " + std::to_string(groups.size()) + " groups, at least 1");
  }
  const auto whole = std::find(shares.share.begin(), shares.share.end(), 1.0);
  if (whole != shares.share.end()) {
    copy_figures(groups[static_cast<std::size_t>(whole - shares.share.begin())].estimate, block);
    return;
  }
  const BlockRule& rule = block.rule;
  const Parts parts = parts_of(groups, shares, rule.minimum_dm_pct);
  const Eigen::MatrixXd of_parts = correlation(parts.rows, parts.rows);
  const MeanSd exact = mean_of(parts.means, parts.shares, of_parts);
  const Drawn drawn = draw(parts, of_parts, rule);
  block.mean_dm_pct = exact.mean;
  block.mean_dm_sd = exact.sd;
  block.mean_dm_interval = drawn.mean.middle(0.95);
  block.mean_dm_interval_80 = drawn.mean.middle(0.8);
  block.share_mature = drawn.share.quantile(0.5);
  block.share_interval = drawn.share.middle(0.95);
  block.share_interval_80 = drawn.share.middle(0.8);
  const MeanSd psi = drawn.psi.moments();
  block.psi_mean = psi.mean;
  block.psi_sd = psi.sd;
  const MeanSd spread = drawn.spread.moments();
  block.spread_sd = spread.mean;
  block.spread_sd_se = spread.sd;
  block.readiness =
      kInHundred * (rule.kind == RuleKind::mean ? drawn.mean.at_least(rule.minimum_dm_pct)
                                                : drawn.share.at_least(rule.required_share));
}

}  // namespace maturity
