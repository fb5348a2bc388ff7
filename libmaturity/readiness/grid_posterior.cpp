#include "libmaturity/readiness/grid_posterior.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>

namespace maturity {

namespace {

ErrorVariances error_variances(const GridModel& model, const VariancePoint& point) {
  return {point.tree_variance(), point.fruit_variance(), model.oven_variance,
          point.meter_sd * point.meter_sd};
}

/// Fills level and spread of a node from the normal posterior of phi.
class BlockMoments {
 public:
  explicit BlockMoments(const GridModel& model)
      : model_(model), slopes_(model.between_fruit.rows()), beta_(slopes_), carried_(slopes_) {}

  void fill(const NodeSolver& solver, double sigma, GridNode& node) {
    const Eigen::VectorXd& mean = solver.mean();
    const Eigen::MatrixXd& covariance = solver.covariance();
    node.level = kLevelGuess + mean[0];
    node.level_var = covariance(0, 0);
    node.spread = sigma;
    node.spread_var = 0.0;
    node.covariance = 0.0;
    node.spread_square = sigma * sigma;
    if (slopes_ == 0) {
      return;
    }
    beta_ = mean.segment(1, slopes_);
    const auto of_slopes = covariance.block(1, 1, slopes_, slopes_);
    carried_.noalias() = model_.between_fruit * beta_;
    const double by_shape =
        beta_.dot(carried_) + of_slopes.cwiseProduct(model_.between_fruit).sum();
    const double total = sigma * sigma + by_shape;
    const double root = std::sqrt(total);
    node.spread_square = total;
    node.level_var +=
        beta_.dot(model_.of_the_mean * beta_) + of_slopes.cwiseProduct(model_.of_the_mean).sum();
    // Second part: sampling error of the covariance of the shapes.
    node.spread_var =
        carried_.dot(of_slopes * carried_) / total +
        by_shape * by_shape / (2.0 * total * (static_cast<double>(model_.phase_one_fruit) - 1.0));
    node.spread = root - node.spread_var / (2.0 * root);
    node.covariance = covariance.row(0).segment(1, slopes_).dot(carried_) / root;
  }

 private:
  const GridModel& model_;
  Eigen::Index slopes_;
  Eigen::VectorXd beta_;
  Eigen::VectorXd carried_;
};

/// Lower bound of the heaviest node's log weight: the best at the middle of each sigma's points.
/// Finding the ridge first keeps most nodes from being solved to the end.
double first_look(const GridModel& model, const std::vector<SlopePrior>& priors,
                  VarianceTerms& terms, NodeSolver& solver) {
  double best = -std::numeric_limits<double>::infinity();
  const std::size_t per_sigma = model.variances.size() / kSigmaPoints;
  for (std::size_t v = per_sigma / 2; v < model.variances.size(); v += per_sigma) {
    const VariancePoint& point = model.variances[v];
    terms.set(error_variances(model, point));
    for (std::size_t s = 0; s < model.slope_nodes.size(); ++s) {
      const std::size_t prior =
          static_cast<std::size_t>(point.sigma_index) * model.slope_nodes.size() + s;
      best = std::max(best, solver.log_evidence(terms, priors[prior]) + point.log_prior +
                                model.slope_nodes[s].log_weight);
    }
  }
  return best;
}

/// Drops the light nodes, makes the weights sum to 1 and averages phi over the rest.
void normalise(double best, double drop_below, const std::vector<double>& phi,
               const std::vector<double>& phi_var, Eigen::Index size, GridPosterior& posterior) {
  posterior.phi = Eigen::VectorXd::Zero(size);
  Eigen::VectorXd square = Eigen::VectorXd::Zero(size);
  double total = 0.0;
  std::size_t kept = 0;
  for (std::size_t i = 0; i < posterior.nodes.size(); ++i) {
    GridNode node = posterior.nodes[i];
    node.weight = std::exp(node.weight - best);
    if (node.weight < drop_below) {
      continue;
    }
    total += node.weight;
    const auto offset = static_cast<Eigen::Index>(i) * size;
    const Eigen::Map<const Eigen::VectorXd> mean(phi.data() + offset, size);
    const Eigen::Map<const Eigen::VectorXd> variance(phi_var.data() + offset, size);
    posterior.phi += node.weight * mean;
    square += node.weight * (variance + mean.cwiseAbs2());
    posterior.nodes[kept++] = node;
  }
  posterior.nodes.resize(kept);
  for (GridNode& node : posterior.nodes) {
    node.weight /= total;
  }
  posterior.phi /= total;
  posterior.phi_sd = (square / total - posterior.phi.cwiseAbs2()).cwiseMax(0.0).cwiseSqrt();
}

}  // namespace

std::vector<SlopePrior> slope_priors(const GridModel& model) {
  std::vector<SlopePrior> priors;
  int last = -1;
  for (const VariancePoint& point : model.variances) {
    if (point.sigma_index == last) {
      continue;
    }
    last = point.sigma_index;
    for (const SlopeNode& node : model.slope_nodes) {
      priors.push_back(slope_prior(node, model.rows.x.cols(), point.sigma, model.expected));
    }
  }
  return priors;
}

GridPosterior grid_posterior(const GridModel& model, const TreeSums& sums) {
  const std::vector<SlopePrior> priors = slope_priors(model);
  const double log_drop = model.drop_below > 0.0 ? std::log(model.drop_below)
                                                 : -std::numeric_limits<double>::infinity();
  NodeSolver solver(sums.slopes(), sums.with_meter());
  VarianceTerms terms(sums);
  BlockMoments moments(model);
  GridPosterior posterior;
  std::vector<double> phi;
  std::vector<double> phi_var;
  double best = first_look(model, priors, terms, solver);
  for (std::size_t v = 0; v < model.variances.size(); ++v) {
    const VariancePoint& point = model.variances[v];
    terms.set(error_variances(model, point));
    for (std::size_t s = 0; s < model.slope_nodes.size(); ++s) {
      const std::size_t prior =
          static_cast<std::size_t>(point.sigma_index) * model.slope_nodes.size() + s;
      const double log_weight = solver.log_evidence(terms, priors[prior]) + point.log_prior +
                                model.slope_nodes[s].log_weight;
      if (log_weight < best + log_drop) {
        continue;
      }
      best = std::max(best, log_weight);
      solver.finish();
      GridNode node;
      node.variance = static_cast<int>(v);
      node.slope = static_cast<int>(s);
      node.weight = log_weight;
      moments.fill(solver, point.sigma, node);
      posterior.nodes.push_back(node);
      const Eigen::VectorXd& mean = solver.mean();
      phi.insert(phi.end(), mean.begin(), mean.end());
      for (Eigen::Index i = 0; i < mean.size(); ++i) {
        phi_var.push_back(solver.covariance()(i, i));
      }
    }
  }
  normalise(best, model.drop_below, phi, phi_var, sums.size(), posterior);
  return posterior;
}

}  // namespace maturity
