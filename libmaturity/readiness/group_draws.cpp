#include "libmaturity/readiness/group_draws.h"

#include <algorithm>
#include <boost/math/distributions/beta.hpp>
#include <cmath>
#include <utility>

#include "libmaturity/readiness/block_mixture.h"
#include "libmaturity/stats/normal.h"

namespace maturity {

namespace {

constexpr double kSmallestSpread = 1e-3;
constexpr int kBetaKnots = 200;
constexpr double kScoreReach = 4.0;
constexpr double kLeastQuantile = 1e-300;

}  // namespace

GroupDraws::GroupDraws(std::vector<GridNode> nodes, double minimum_dm_pct)
    : nodes_(std::move(nodes)) {
  // By the share at the node, so that neighbouring points give neighbouring shares.
  std::sort(nodes_.begin(), nodes_.end(), [&](const GridNode& a, const GridNode& b) {
    return (a.level - minimum_dm_pct) / a.spread < (b.level - minimum_dm_pct) / b.spread;
  });
  double sum = 0.0;
  for (const GridNode& node : nodes_) {
    cumulative_.push_back(sum += node.weight);
  }
}

Level GroupDraws::at(double u, double of_mean, double of_spread) const {
  const auto found =
      std::upper_bound(cumulative_.begin(), cumulative_.end(), u * cumulative_.back());
  const auto place = static_cast<std::size_t>(found - cumulative_.begin());
  const GridNode& node = nodes_[std::min(nodes_.size() - 1, place)];
  const double slope = node.level_var > 0.0 ? node.covariance / node.level_var : 0.0;
  const double left = std::max(0.0, node.spread_var - slope * node.covariance);
  const double off = std::sqrt(node.level_var) * of_mean;
  return {node.level + off,
          std::max(kSmallestSpread, node.spread + slope * off + std::sqrt(left) * of_spread)};
}

BetaQuantiles::BetaQuantiles(double a, double b) {
  const boost::math::beta_distribution<> share(a, b);
  const boost::math::beta_distribution<> rest(b, a);
  for (int i = 0; i <= kBetaKnots; ++i) {
    const double p = normal_cdf(kScoreReach * (2.0 * i / kBetaKnots - 1.0));
    const double low = boost::math::quantile(share, p);
    const double high = boost::math::quantile(boost::math::complement(rest, p));
    logit_.push_back(std::log(std::max(low, kLeastQuantile) / std::max(high, kLeastQuantile)));
  }
}

double BetaQuantiles::at(double z) const {
  const double place = std::clamp((z / kScoreReach + 1.0) / 2.0, 0.0, 1.0) * kBetaKnots;
  const auto left = std::min(static_cast<std::size_t>(place), logit_.size() - 2);
  const double part = place - static_cast<double>(left);
  return 1.0 / (1.0 + std::exp(-(logit_[left] + part * (logit_[left + 1] - logit_[left]))));
}

ShareDraws::ShareDraws(const CropShares& shares) : share_(shares.share) {
  double left = 0.0;
  for (const double one : shares.concentration) {
    left += one;
  }
  for (std::size_t g = 0; g + 1 < shares.concentration.size(); ++g) {
    left -= shares.concentration[g];
    sticks_.emplace_back(shares.concentration[g], left);
  }
}

std::vector<double> ShareDraws::at(const double* z) const {
  if (sticks_.empty()) {
    return share_;
  }
  std::vector<double> drawn;
  double left = 1.0;
  for (std::size_t g = 0; g < sticks_.size(); ++g) {
    const double taken = left * sticks_[g].at(z[g]);
    drawn.push_back(taken);
    left -= taken;
  }
  drawn.push_back(left);
  return drawn;
}

}  // namespace maturity
