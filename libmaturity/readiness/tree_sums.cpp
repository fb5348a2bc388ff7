#include "libmaturity/readiness/tree_sums.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace maturity {

TreeSums::TreeSums(const ModelRows& rows) : slopes_(static_cast<int>(rows.x.cols())) {
  for (const int tree : rows.tree) {
    trees_ = std::max(trees_, tree + 1);
  }
  const Eigen::Index width = 1 + slopes_;
  for (KindSums& kind : kinds_) {
    kind.z = Eigen::MatrixXd::Zero(width, trees_);
    kind.oven = kind.meter = Eigen::VectorXd::Zero(trees_);
    kind.zz = Eigen::MatrixXd::Zero(width, width);
    kind.z_total = kind.z_oven = kind.z_meter = Eigen::VectorXd::Zero(width);
  }
  Eigen::VectorXd z = Eigen::VectorXd::Ones(width);
  for (std::size_t i = 0; i < rows.tree.size(); ++i) {
    const bool in_oven = !std::isnan(rows.oven[i]);
    const bool metered = !std::isnan(rows.meter[i]);
    with_meter_ = with_meter_ || metered;
    if (!in_oven && !metered) {
      continue;
    }
    KindSums& kind = kinds_.at(in_oven && metered ? kBoth : (in_oven ? kOvenOnly : kMeterOnly));
    const double oven = in_oven ? rows.oven[i] : 0.0;
    const double meter = metered ? rows.meter[i] : 0.0;
    z.tail(slopes_) = rows.x.row(static_cast<Eigen::Index>(i)).transpose();
    kind.z.col(rows.tree[i]) += z;
    kind.oven[rows.tree[i]] += oven;
    kind.meter[rows.tree[i]] += meter;
    kind.zz += z * z.transpose();
    kind.z_total += z;
    kind.z_oven += oven * z;
    kind.z_meter += meter * z;
    kind.n += 1.0;
    kind.oven_total += oven;
    kind.meter_total += meter;
    kind.oven_oven += oven * oven;
    kind.oven_meter += oven * meter;
    kind.meter_meter += meter * meter;
  }
}

VarianceTerms::VarianceTerms(const TreeSums& sums)
    : sums_(sums),
      information_(sums.size(), sums.size()),
      score_(sums.size()),
      shrink_(sums.trees()),
      reading_(sums.trees()),
      design_(sums.size(), sums.trees()) {}

void VarianceTerms::set(const ErrorVariances& variances) {
  const double oven = variances.fruit + variances.oven;
  const double meter = variances.fruit + variances.meter;
  weights_[TreeSums::kOvenOnly] = {1.0 / oven, 0.0, 0.0};
  log_det_ = sums_.kinds_[TreeSums::kOvenOnly].n * std::log(oven);
  if (sums_.with_meter_) {
    const double det = oven * meter - variances.fruit * variances.fruit;
    weights_[TreeSums::kMeterOnly] = {0.0, 0.0, 1.0 / meter};
    weights_[TreeSums::kBoth] = {meter / det, -variances.fruit / det, oven / det};
    log_det_ += sums_.kinds_[TreeSums::kMeterOnly].n * std::log(meter) +
                sums_.kinds_[TreeSums::kBoth].n * std::log(det);
  }
  tree_variance_ = variances.tree;
  sum_over_fruit();
  absorb_trees();
}

void VarianceTerms::sum_over_fruit() {
  const int width = 1 + sums_.slopes_;
  information_.setZero();
  score_.setZero();
  design_.setZero();
  reading_.setZero();
  data_square_ = 0.0;
  for (std::size_t k = 0; k < TreeSums::kKinds; ++k) {
    const TreeSums::KindSums& kind = sums_.kinds_[k];
    const KindWeights& w = weights_[k];
    if (kind.n == 0.0) {
      continue;
    }
    information_.topLeftCorner(width, width) += w.all() * kind.zz;
    score_.head(width) += w.oven_row() * kind.z_oven + w.meter_row() * kind.z_meter;
    design_.topRows(width) += w.all() * kind.z;
    reading_ += w.oven_row() * kind.oven + w.meter_row() * kind.meter;
    data_square_ += w.oven_oven * kind.oven_oven + 2.0 * w.oven_meter * kind.oven_meter +
                    w.meter_meter * kind.meter_meter;
    if (sums_.with_meter_) {
      information_.col(width).head(width) += w.meter_row() * kind.z_total;
      information_(width, width) += w.meter_meter * kind.n;
      score_[width] += w.oven_meter * kind.oven_total + w.meter_meter * kind.meter_total;
      design_.row(width) += w.meter_row() * kind.z.row(0);
    }
  }
  if (sums_.with_meter_) {
    information_.row(width).head(width) = information_.col(width).head(width).transpose();
  }
}

void VarianceTerms::absorb_trees() {
  const Eigen::Index size = sums_.size();
  for (Eigen::Index t = 0; t < sums_.trees_; ++t) {
    // The sum of a fruit's inverse covariance is the level's entry of the tree's design.
    const double* design = design_.data() + t * size;
    const double spread = 1.0 + tree_variance_ * design[0];
    shrink_[t] = tree_variance_ / spread;
    log_det_ += std::log(spread);
    const double reading = shrink_[t] * reading_[t];
    data_square_ -= reading * reading_[t];
    for (Eigen::Index j = 0; j < size; ++j) {
      const double scaled = shrink_[t] * design[j];
      score_[j] -= reading * design[j];
      double* column = information_.data() + j * size;
      for (Eigen::Index i = 0; i < size; ++i) {
        column[i] -= scaled * design[i];
      }
    }
  }
}

}  // namespace maturity
