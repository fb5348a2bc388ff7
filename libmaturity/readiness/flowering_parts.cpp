#include "libmaturity/readiness/flowering_parts.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "libmaturity/stats/normal.h"

namespace maturity {

namespace {

constexpr double kNormalPeak = 0.39894228040143268;
constexpr double kLeastVariance = 1e-12;

double squared(double v) { return v * v; }

/// Variance of M - z S from what the estimate tells of M, S and psi at the rule's own z.
double variance_at(const BlockEstimate& estimate, double z) {
  const double of_mean = squared(estimate.mean_dm_sd.value());
  const double of_spread = squared(estimate.spread_sd_se.value());
  const double own_z = normal_quantile(estimate.rule.required_share);
  const double common =
      own_z > 0.0 ? (of_mean + squared(own_z) * of_spread - squared(estimate.psi_sd.value())) /
                        (2.0 * own_z)
                  : 0.0;
  return std::max(kLeastVariance, of_mean + squared(z) * of_spread - 2.0 * z * common);
}

/// Variance that the weights' own error gives SUM w value: the Dirichlet's.
double variance_of_weights(const std::vector<FloweringEstimate>& flowerings,
                           const std::vector<double>& values) {
  double mean = 0.0;
  double square = 0.0;
  double shrink = 0.0;
  for (std::size_t g = 0; g < flowerings.size(); ++g) {
    const double w = flowerings[g].crop_share.value();
    mean += w * values[g];
    square += w * squared(values[g]);
    if (w > 0.0 && w < 1.0) {
      shrink = squared(flowerings[g].crop_share_sd.value()) / (w * (1.0 - w));
    }
  }
  return shrink * std::max(0.0, square - squared(mean));
}

}  // namespace

double FloweringPart::after(int trees, int photos, int oven) const {
  if (variance == 0.0) {
    return 0.0;
  }
  const double now = planning_variance(state, state.trees, state.photographed, state.oven);
  const double then =
      planning_variance(state, state.trees + trees, state.photographed + photos, state.oven + oven);
  return variance * std::min(1.0, then / now);
}

double FloweringParts::total() const {
  double sum = crop_shares;
  for (const FloweringPart& part : of_flowering) {
    sum += part.variance;
  }
  return sum;
}

FloweringParts flowering_parts(const JoinedEstimate& joined) {
  const bool by_mean = joined.block.rule.kind == RuleKind::mean;
  const double psi = joined.block.psi_mean.value();
  const std::size_t count = joined.flowerings.size();
  std::vector<double> z(count, 0.0);
  std::vector<double> weight(count, 0.0);
  std::vector<double> value(count, 0.0);
  double density = 0.0;
  for (std::size_t g = 0; g < count; ++g) {
    const BlockEstimate& own = joined.flowerings[g].estimate;
    const double crop = joined.flowerings[g].crop_share.value();
    if (crop == 0.0) {
      continue;
    }
    const double spread = own.spread_sd.value();
    z[g] = by_mean ? 0.0 : (own.mean_dm_pct.value() - psi) / spread;
    weight[g] = by_mean ? crop : crop * kNormalPeak * std::exp(-0.5 * squared(z[g])) / spread;
    value[g] = by_mean ? own.mean_dm_pct.value() : normal_cdf(z[g]);
    density += weight[g];
  }
  FloweringParts parts;
  for (std::size_t g = 0; g < count; ++g) {
    FloweringPart& part = parts.of_flowering.emplace_back();
    if (weight[g] == 0.0) {
      continue;
    }
    const BlockEstimate& own = joined.flowerings[g].estimate;
    part.state = planning_state(own);
    part.state.share_z = z[g];
    part.variance = squared(weight[g] / density) * variance_at(own, z[g]);
  }
  parts.crop_shares =
      variance_of_weights(joined.flowerings, value) / squared(by_mean ? 1.0 : density);
  return parts;
}

}  // namespace maturity
