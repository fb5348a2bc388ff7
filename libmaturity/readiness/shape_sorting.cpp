#include "libmaturity/readiness/shape_sorting.h"

#include <algorithm>
#include <array>
#include <boost/math/quadrature/gauss.hpp>
#include <cmath>
#include <cstddef>
#include <stdexcept>
#include <string>

#include "libmaturity/readiness/block_design.h"
#include "libmaturity/readiness/block_mixture.h"
#include "libmaturity/readiness/block_model.h"
#include "libmaturity/readiness/check_block_input.h"
#include "libmaturity/readiness/grid_posterior.h"
#include "libmaturity/readiness/meter_slope.h"
#include "libmaturity/stats/normal.h"

namespace maturity {

namespace {

constexpr double kLightestWorld = 1e-3;
constexpr double kFarthest = 8.0;
/// Beyond it the tail of the fruit taken weighs nothing.
constexpr double kTail = 6.0;
constexpr double kSmallestResidual = 1e-9;
constexpr double kTwoSided95 = 1.959963984540054;

/// Gauss-Hermite points of a standard normal variable (7 points; Abramowitz and Stegun 1964, table
/// 25.10, abscissas times the root of 2, weights over the root of pi; from memory, and tested).
struct HermitePoint {
  double at;
  double weight;
};
constexpr std::array<HermitePoint, 7> kHermite{{{-3.750439717725742, 5.48268855972218e-4},
                                                {-2.366759410734541, 3.07571239675865e-2},
                                                {-1.154405394739968, 2.40123178605013e-1},
                                                {0.0, 4.57142857142857e-1},
                                                {1.154405394739968, 2.40123178605013e-1},
                                                {2.366759410734541, 3.07571239675865e-2},
                                                {3.750439717725742, 5.48268855972218e-4}}};

struct Weighed {
  double value;
  double weight;
};

/// Quantile of weighted values (sorted here), by the first value whose weight so far reaches it.
double weighted_quantile(std::vector<Weighed>& values, double probability) {
  std::sort(values.begin(), values.end(),
            [](const Weighed& a, const Weighed& b) { return a.value < b.value; });
  double total = 0.0;
  for (const Weighed& one : values) {
    total += one.weight;
  }
  double reached = 0.0;
  for (const Weighed& one : values) {
    reached += one.weight;
    if (reached >= probability * total) {
      return one.value;
    }
  }
  return values.back().value;
}

ShareRange range_of(std::vector<Weighed>& values) {
  return {weighted_quantile(values, 0.5),
          {weighted_quantile(values, 0.025), weighted_quantile(values, 0.975)}};
}

/// One possible block: what the posterior allows, with its weight.
struct World {
  double level = 0.0;
  double spread = 0.0;
  double correlation = 0.0;
  double weight = 0.0;
};

/// The shape score b'x of a random fruit (b: posterior mean slopes) and how it goes with dry
/// matter.
struct Score {
  Eigen::VectorXd slopes;
  /// Sigma_x b
  Eigen::VectorXd along;
  double sd = 0.0;
  /// Variance of its mean over the block, in units of its own, and the fruit behind its spread.
  double mean_variance = 0.0;
  int fruit = 0;
};

/// Level and covariance of score and dry matter at one node, spread over their joint normal.
void add_worlds(const GridNode& node, const NodeSolver& solver, const Score& score,
                std::vector<World>& worlds) {
  const Eigen::Index p = score.slopes.size();
  const double covariance = score.along.dot(solver.mean().segment(1, p));
  const Eigen::MatrixXd full = solver.covariance().selfadjointView<Eigen::Lower>();
  const double variance = std::max(0.0, score.along.dot(full.block(1, 1, p, p) * score.along));
  const double sd = std::sqrt(variance);
  const double shared = sd > 0.0 ? score.along.dot(full.col(0).segment(1, p)) / sd : 0.0;
  const double own = std::sqrt(std::max(0.0, node.level_var - shared * shared));
  for (const HermitePoint& u : kHermite) {
    const double r = (covariance + sd * u.at) / (score.sd * node.spread);
    for (const HermitePoint& v : kHermite) {
      worlds.push_back({node.level + shared * u.at + own * v.at, node.spread,
                        std::clamp(r, -1.0, 1.0), node.weight * u.weight * v.weight});
    }
  }
}

/// Adds what the posterior at one slope of the meter allows.
void add_worlds(const SlopeFit& fit, const Score& score, std::vector<World>& worlds) {
  const GridModel& model = fit.model;
  const TreeSums sums(model.rows);
  const std::vector<SlopePrior> priors = slope_priors(model);
  double heaviest = 0.0;
  for (const GridNode& node : fit.posterior.nodes) {
    heaviest = std::max(heaviest, node.weight);
  }
  NodeSolver solver(sums.slopes(), sums.meters(), model.meter_bias_sd);
  VarianceTerms terms(sums);
  int last = -1;
  for (GridNode node : fit.posterior.nodes) {
    if (node.weight < kLightestWorld * heaviest) {
      continue;
    }
    const VariancePoint& point = model.variances[static_cast<std::size_t>(node.variance)];
    if (node.variance != last) {
      terms.set(error_variances(model, point));
      last = node.variance;
    }
    const auto prior = static_cast<std::size_t>(point.sigma_index) * model.slope_nodes.size() +
                       static_cast<std::size_t>(node.slope);
    solver.log_evidence(terms, priors[prior]);
    solver.finish();
    node.weight *= fit.weight;
    add_worlds(node, solver, score, worlds);
  }
}

ShapeCut cut_at(double cut, double score_level, const Score& score, double minimum,
                const std::vector<World>& worlds) {
  ShapeCut result;
  result.cut_dm_pct = cut;
  const double above = std::clamp((cut - score_level) / score.sd, -kFarthest, kFarthest);
  result.taken = normal_cdf(-above);
  // Delta method: the mean of the score, and its standard deviation with divisor n - 1.
  const double error = kTwoSided95 * std::sqrt(score.mean_variance / (score.sd * score.sd) +
                                               above * above / (2.0 * (score.fruit - 1)));
  result.taken_interval = {normal_cdf(-above - error), normal_cdf(-above + error)};
  std::vector<Weighed> taken;
  std::vector<Weighed> blind;
  for (const World& world : worlds) {
    const double below = (minimum - world.level) / world.spread;
    taken.push_back({share_below_among_taken(below, above, world.correlation), world.weight});
    blind.push_back({normal_cdf(below), world.weight});
  }
  result.immature_taken = range_of(taken);
  result.immature_blind = range_of(blind);
  return result;
}

}  // namespace

double share_below_among_taken(double below, double above, double r) {
  const double residual = std::sqrt(std::max(kSmallestResidual, 1.0 - r * r));
  const auto density = [&](double s) {
    return normal_density(s) * normal_cdf((below - r * s) / residual);
  };
  const double end = std::max(above, 0.0) + kTail;
  const double start = std::max(above, -kTail);
  const double mass = normal_cdf(-start) - normal_cdf(-end);
  const double below_mass =
      boost::math::quadrature::gauss<double, 30>::integrate(density, start, end);
  return std::clamp(below_mass / mass, 0.0, 1.0);
}

ShapeSorting sort_by_shape(const BlockData& data, const BlockRule& rule,
                           const BlockOptions& options, const std::vector<double>& cuts) {
  check_block_input(data, rule, options);
  for (const double cut : cuts) {
    if (!std::isfinite(cut)) {
      throw std::invalid_argument("cuts: " + std::to_string(cut) + "; expected finite numbers, %");
    }
  }
  ShapeSorting result;
  result.shape_dm_pct.resize(data.tree.size());
  const BlockDesign design = design_block(data, options);
  bool any_reading = false;
  for (const int row : design.rows) {
    const auto i = static_cast<std::size_t>(row);
    any_reading = any_reading || !std::isnan(value_at(data.oven, i)) || data.metered(i);
  }
  if (!any_reading || design.descriptors.empty() || design.robust) {
    return result;
  }
  const GridModel model = model_of(data, options, design);
  const std::vector<SlopeFit> fits =
      fit_at_slopes(model, meter_slope_nodes(options.meter_slope, options.meter_slope_sd));
  Eigen::VectorXd phi = Eigen::VectorXd::Zero(1 + model.rows.x.cols());
  for (const SlopeFit& fit : fits) {
    phi += fit.weight * fit.posterior.phi.head(phi.size());
  }
  Score score;
  score.slopes = phi.tail(model.rows.x.cols());
  score.along = model.between_fruit * score.slopes;
  score.sd = std::sqrt(std::max(0.0, score.slopes.dot(score.along)));
  score.mean_variance = std::max(0.0, score.slopes.dot(model.of_the_mean * score.slopes));
  score.fruit = model.phase_one_fruit;
  const double level = kLevelGuess + phi[0];
  for (std::size_t r = 0; r < design.rows.size(); ++r) {
    result.shape_dm_pct[static_cast<std::size_t>(design.rows[r])] =
        level + model.rows.x.row(static_cast<Eigen::Index>(r)).dot(score.slopes);
  }
  if (score.sd <= 0.0) {
    return result;
  }
  std::vector<World> worlds;
  for (const SlopeFit& fit : fits) {
    add_worlds(fit, score, worlds);
  }
  std::vector<Weighed> correlations;
  double total = 0.0;
  double mean = 0.0;
  double useful = 0.0;
  for (const World& world : worlds) {
    correlations.push_back({world.correlation, world.weight});
    total += world.weight;
    mean += world.weight * world.correlation;
    useful += world.correlation >= kUsefulCorrelation ? world.weight : 0.0;
  }
  result.correlation = mean / total;
  result.correlation_interval = {weighted_quantile(correlations, 0.025),
                                 weighted_quantile(correlations, 0.975)};
  result.p_useful = useful / total;
  for (const double cut : cuts) {
    result.cuts.push_back(cut_at(cut, level, score, rule.minimum_dm_pct, worlds));
  }
  return result;
}

}  // namespace maturity
