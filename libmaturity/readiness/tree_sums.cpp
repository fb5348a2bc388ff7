#include "libmaturity/readiness/tree_sums.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <stdexcept>
#include <string>

namespace maturity {

TreeSums::TreeSums(const ModelRows& rows) : slopes_(static_cast<int>(rows.x.cols())) {
  if (slopes_ > kMostSlopes) {
    throw std::invalid_argument("x: " + std::to_string(slopes_) + " columns; expected at most " +
                                std::to_string(kMostSlopes));
  }
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

template <int P>
void VarianceTerms::absorb_trees(int trees, double tree_variance, VarianceTerms& terms) {
  const double* design = terms.design_.data();
  double* information = terms.information_.data();
  double* score = terms.score_.data();
  for (int t = 0; t < trees; ++t, design += P) {
    // The sum of a fruit's inverse covariance is the level's entry of the tree's design.
    const double spread = 1.0 + tree_variance * design[0];
    const double shrink = tree_variance / spread;
    const double reading = terms.reading_[t];
    terms.shrink_[t] = shrink;
    terms.log_det_ += std::log(spread);
    terms.data_square_ -= shrink * reading * reading;
    for (int j = 0; j < P; ++j) {
      const double scaled = shrink * design[j];
      score[j] -= scaled * reading;
      for (int i = j; i < P; ++i) {
        information[j * P + i] -= scaled * design[i];
      }
    }
  }
}

template <int... Size>
VarianceTerms::Absorb VarianceTerms::absorber(int size,
                                              std::integer_sequence<int, Size...> /*sizes*/) {
  return std::array{&absorb_trees<Size + 1>...}.at(static_cast<std::size_t>(size - 1));
}

VarianceTerms::VarianceTerms(const TreeSums& sums)
    : sums_(sums),
      absorb_(absorber(sums.size(), std::make_integer_sequence<int, kLargestPhi>{})),
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
  sum_over_fruit();
  absorb_(sums_.trees_, variances.tree, *this);
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
      information_.row(width).head(width) += w.meter_row() * kind.z_total.transpose();
      information_(width, width) += w.meter_meter * kind.n;
      score_[width] += w.oven_meter * kind.oven_total + w.meter_meter * kind.meter_total;
      design_.row(width) += w.meter_row() * kind.z.row(0);
    }
  }
}

}  // namespace maturity
