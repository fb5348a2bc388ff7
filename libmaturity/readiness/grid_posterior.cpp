#include "libmaturity/readiness/grid_posterior.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>

namespace maturity {

namespace {

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
  // The likeliest node alone weighs 1.
  // cppcheck-suppress invalidFunctionArg
  posterior.log_evidence = best + std::log(total);
  posterior.phi /= total;
  posterior.phi_sd = (square / total - posterior.phi.cwiseAbs2()).cwiseMax(0.0).cwiseSqrt();
}

/// Weighs the nodes, a sigma at a time, outward from a likely one.
class GridWalk {
 public:
  GridWalk(const GridModel& model, const TreeSums& sums)
      : model_(model),
        priors_(slope_priors(model)),
        log_drop_(model.drop_below > 0.0 ? std::log(model.drop_below) : -kInfinity),
        per_sigma_(model.variances.size() / kSigmaPoints),
        size_(sums.size()),
        solver_(sums.slopes(), sums.meters(), model.meter_bias_sd),
        terms_(sums),
        moments_(model) {}

  GridPosterior posterior() {
    const int start = likely_sigma();
    // Beyond a sigma without a node that counts there are only lighter ones.
    for (int sigma = start; sigma < kSigmaPoints && weigh(sigma); ++sigma) {
    }
    for (int sigma = start - 1; sigma >= 0 && weigh(sigma); --sigma) {
    }
    normalise(best_, model_.drop_below, phi_, phi_var_, size_, posterior_);
    return posterior_;
  }

 private:
  static constexpr double kInfinity = std::numeric_limits<double>::infinity();

  double log_weight(std::size_t variance, std::size_t slope) {
    const VariancePoint& point = model_.variances[variance];
    const std::size_t prior =
        static_cast<std::size_t>(point.sigma_index) * model_.slope_nodes.size() + slope;
    return solver_.log_evidence(terms_, priors_[prior]) + point.log_prior +
           model_.slope_nodes[slope].log_weight;
  }

  /// Looks at each sigma where its prior is heaviest. What it finds bounds the best from below,
  /// which keeps most nodes from being solved to the end.
  int likely_sigma() {
    int likely = 0;
    const auto lighter = [](const VariancePoint& a, const VariancePoint& b) {
      return a.log_prior < b.log_prior;
    };
    for (int sigma = 0; sigma < kSigmaPoints; ++sigma) {
      const auto first = model_.variances.begin() + sigma * static_cast<std::ptrdiff_t>(per_sigma_);
      const auto middle =
          std::max_element(first, first + static_cast<std::ptrdiff_t>(per_sigma_), lighter);
      terms_.set(error_variances(model_, *middle));
      for (std::size_t s = 0; s < model_.slope_nodes.size(); ++s) {
        const double weight =
            log_weight(static_cast<std::size_t>(middle - model_.variances.begin()), s);
        if (weight > best_) {
          best_ = weight;
          likely = sigma;
        }
      }
    }
    return likely;
  }

  /// Keeps the nodes of one sigma that are not too light; false when there is none.
  bool weigh(int sigma) {
    const std::size_t before = posterior_.nodes.size();
    const std::size_t first = static_cast<std::size_t>(sigma) * per_sigma_;
    for (std::size_t v = first; v < first + per_sigma_; ++v) {
      terms_.set(error_variances(model_, model_.variances[v]));
      for (std::size_t s = 0; s < model_.slope_nodes.size(); ++s) {
        const double weight = log_weight(v, s);
        if (weight >= best_ + log_drop_) {
          best_ = std::max(best_, weight);
          keep(v, s, weight);
        }
      }
    }
    return posterior_.nodes.size() > before;
  }

  void keep(std::size_t variance, std::size_t slope, double weight) {
    solver_.finish();
    GridNode node;
    node.variance = static_cast<int>(variance);
    node.slope = static_cast<int>(slope);
    node.weight = weight;
    moments_.fill(solver_, model_.variances[variance].sigma, node);
    posterior_.nodes.push_back(node);
    const Eigen::VectorXd& mean = solver_.mean();
    phi_.insert(phi_.end(), mean.begin(), mean.end());
    for (Eigen::Index i = 0; i < mean.size(); ++i) {
      phi_var_.push_back(solver_.covariance()(i, i));
    }
  }

  const GridModel& model_;
  std::vector<SlopePrior> priors_;
  double log_drop_;
  std::size_t per_sigma_;
  Eigen::Index size_;
  NodeSolver solver_;
  VarianceTerms terms_;
  BlockMoments moments_;
  GridPosterior posterior_;
  std::vector<double> phi_;
  std::vector<double> phi_var_;
  double best_ = -kInfinity;
};

}  // namespace

ErrorVariances error_variances(const GridModel& model, const VariancePoint& point) {
  ErrorVariances variances{point.tree_variance(), point.fruit_variance(), model.oven_variance,
                           point.meter_sd * point.meter_sd};
  for (std::size_t m = 0; m < model.further_errors.size(); ++m) {
    const MeterErrorGuess& guess = model.further_errors[m];
    const double sd = guess.sd * std::exp(guess.log_sd * point.meter_step);
    variances.further_meters.at(m) = sd * sd;
  }
  return variances;
}

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
  return GridWalk(model, sums).posterior();
}

}  // namespace maturity
