#include "libmaturity/readiness/fruit_prediction.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

namespace maturity {

namespace {

constexpr double kLightestNode = 1e-3;

/// What a fruit's own readings say, given the variances.
struct Reading {
  double precision = 0.0;
  double weighted = 0.0;
  std::array<double, kMostMeters> meter_precision{};
};

Reading reading_of(const ModelRows& rows, std::size_t i, const ErrorVariances& variances) {
  Reading reading;
  if (!std::isnan(rows.oven[i])) {
    reading.precision += 1.0 / variances.oven;
    reading.weighted += rows.oven[i] / variances.oven;
  }
  for (int m = 0; m < rows.meters(); ++m) {
    const double value = rows.readings_of(m)[i];
    if (!std::isnan(value)) {
      const double precision = 1.0 / variances.of_meter(m);
      reading.meter_precision.at(static_cast<std::size_t>(m)) = precision;
      reading.precision += precision;
      reading.weighted += value * precision;
    }
  }
  return reading;
}

/// Weighted moments of phi over the slope nodes of one variance point: a fruit's value is linear in
/// phi with the same factors at all of them.
struct PhiMoments {
  double weight = 0.0;
  Eigen::VectorXd first;
  Eigen::MatrixXd second;

  explicit PhiMoments(Eigen::Index size) : first(size), second(size, size) { clear(); }
  void clear() {
    weight = 0.0;
    first.setZero();
    second.setZero();
  }
  void add(double w, const NodeSolver& solver) {
    weight += w;
    first += w * solver.mean();
    second += w * (solver.covariance() + solver.mean() * solver.mean().transpose());
  }
};

class FruitMixture {
 public:
  FruitMixture(const GridModel& model, const TreeSums& sums)
      : model_(model), meters_(sums.meters()), along_(sums.size()), turned_(sums.size()) {
    sum_.resize(model.rows.tree.size());
    square_.resize(model.rows.tree.size());
  }

  void add(const PhiMoments& phi, const VariancePoint& point, const VarianceTerms& terms) {
    const double fruit_precision = 1.0 / point.fruit_variance();
    const ErrorVariances variances = error_variances(model_, point);
    const ModelRows& rows = model_.rows;
    const Eigen::Index slopes = rows.x.cols();
    for (std::size_t i = 0; i < rows.tree.size(); ++i) {
      const Reading reading = reading_of(rows, i, variances);
      const int tree = rows.tree[i];
      const double precision = fruit_precision + reading.precision;
      const double from_model = fruit_precision / precision;
      const double shrink = terms.shrink(tree);
      along_ = -shrink * terms.design(tree);
      along_[0] += 1.0;
      along_.segment(1, slopes) += rows.x.row(static_cast<Eigen::Index>(i)).transpose();
      along_ *= from_model;
      for (int m = 0; m < meters_; ++m) {
        along_[1 + slopes + m] -=
            reading.meter_precision.at(static_cast<std::size_t>(m)) / precision;
      }
      const double fixed = from_model * shrink * terms.reading(tree) + reading.weighted / precision;
      const double variance = from_model * from_model * shrink + 1.0 / precision;
      turned_.noalias() = phi.second * along_;
      const double linear = along_.dot(phi.first);
      sum_[i] += linear + phi.weight * fixed;
      square_[i] +=
          along_.dot(turned_) + 2.0 * fixed * linear + phi.weight * (fixed * fixed + variance);
    }
  }

  std::vector<MeanSd> result(double total) const {
    std::vector<MeanSd> fruit(sum_.size());
    for (std::size_t i = 0; i < fruit.size(); ++i) {
      const double mean = sum_[i] / total;
      fruit[i].mean = kLevelGuess + mean;
      fruit[i].sd = std::sqrt(std::max(0.0, square_[i] / total - mean * mean));
    }
    return fruit;
  }

 private:
  const GridModel& model_;
  int meters_;
  Eigen::VectorXd along_;
  Eigen::VectorXd turned_;
  std::vector<double> sum_;
  std::vector<double> square_;
};

}  // namespace

std::vector<MeanSd> predict_fruit(const GridModel& model, const TreeSums& sums,
                                  const GridPosterior& posterior) {
  const std::vector<SlopePrior> priors = slope_priors(model);
  double heaviest = 0.0;
  for (const GridNode& node : posterior.nodes) {
    heaviest = std::max(heaviest, node.weight);
  }
  NodeSolver solver(sums.slopes(), sums.meters(), model.meter_bias_sd);
  VarianceTerms terms(sums);
  FruitMixture mixture(model, sums);
  PhiMoments phi(sums.size());
  double total = 0.0;
  for (std::size_t n = 0; n < posterior.nodes.size();) {
    const int variance = posterior.nodes[n].variance;
    const VariancePoint& point = model.variances[static_cast<std::size_t>(variance)];
    phi.clear();
    for (; n < posterior.nodes.size() && posterior.nodes[n].variance == variance; ++n) {
      const GridNode& node = posterior.nodes[n];
      if (node.weight < kLightestNode * heaviest) {
        continue;
      }
      if (phi.weight == 0.0) {
        terms.set(error_variances(model, point));
      }
      const auto prior = static_cast<std::size_t>(point.sigma_index) * model.slope_nodes.size() +
                         static_cast<std::size_t>(node.slope);
      solver.log_evidence(terms, priors[prior]);
      solver.finish();
      phi.add(node.weight, solver);
    }
    if (phi.weight > 0.0) {
      mixture.add(phi, point, terms);
      total += phi.weight;
    }
  }
  return mixture.result(total);
}

}  // namespace maturity
