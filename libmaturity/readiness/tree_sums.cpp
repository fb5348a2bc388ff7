#include "libmaturity/readiness/tree_sums.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <map>
#include <stdexcept>
#include <string>

namespace maturity {

TreeSums::TreeSums(const ModelRows& rows) : slopes_(static_cast<int>(rows.x.cols())) {
  if (slopes_ > kMostSlopes) {
    throw std::invalid_argument("x: " + std::to_string(slopes_) + " columns; expected at most " +
                                std::to_string(kMostSlopes));
  }
  if (rows.meters() > kMostMeters) {
    throw std::invalid_argument("further_meters: " + std::to_string(rows.meters()) +
                                " meters; expected at most " + std::to_string(kMostMeters));
  }
  for (const int tree : rows.tree) {
    trees_ = std::max(trees_, tree + 1);
  }
  const Eigen::Index width = 1 + slopes_;
  std::map<unsigned, KindSums> kinds;
  Eigen::VectorXd z = Eigen::VectorXd::Ones(width);
  for (std::size_t i = 0; i < rows.tree.size(); ++i) {
    unsigned read_by = std::isnan(rows.oven[i]) ? 0U : 1U;
    std::vector<int> channels(read_by, 0);
    for (int m = 0; m < rows.meters(); ++m) {
      if (!std::isnan(rows.readings_of(m)[i])) {
        read_by |= 2U << static_cast<unsigned>(m);
        channels.push_back(1 + m);
        meters_ = std::max(meters_, 1 + m);
      }
    }
    if (channels.empty()) {
      continue;
    }
    const auto count = static_cast<Eigen::Index>(channels.size());
    KindSums& kind = kinds[read_by];
    if (kind.n == 0.0) {
      kind.channels = channels;
      kind.z = Eigen::MatrixXd::Zero(width, trees_);
      kind.reading = Eigen::MatrixXd::Zero(trees_, count);
      kind.zz = Eigen::MatrixXd::Zero(width, width);
      kind.z_total = Eigen::VectorXd::Zero(width);
      kind.z_reading = Eigen::MatrixXd::Zero(width, count);
      kind.reading_total = Eigen::VectorXd::Zero(count);
      kind.reading_reading = Eigen::MatrixXd::Zero(count, count);
    }
    Eigen::VectorXd reading(count);
    for (Eigen::Index a = 0; a < count; ++a) {
      const int channel = channels[static_cast<std::size_t>(a)];
      reading[a] = channel == 0 ? rows.oven[i] : rows.readings_of(channel - 1)[i];
    }
    z.tail(slopes_) = rows.x.row(static_cast<Eigen::Index>(i)).transpose();
    kind.z.col(rows.tree[i]) += z;
    kind.reading.row(rows.tree[i]) += reading.transpose();
    kind.zz += z * z.transpose();
    kind.z_total += z;
    kind.z_reading += z * reading.transpose();
    kind.reading_total += reading;
    kind.reading_reading += reading * reading.transpose();
    kind.n += 1.0;
  }
  for (auto& [read_by, kind] : kinds) {
    kinds_.push_back(std::move(kind));
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
  information_.setZero();
  score_.setZero();
  design_.setZero();
  reading_.setZero();
  data_square_ = 0.0;
  double oven_alone = 0.0;
  double metered = 0.0;
  for (const TreeSums::KindSums& kind : sums_.kinds_) {
    const double log_det = kind.n * weigh(kind.channels, variances);
    (kind.channels.back() == 0 ? oven_alone : metered) += log_det;
    sum_kind(kind);
  }
  log_det_ = oven_alone + metered;
  absorb_(sums_.trees_, variances.tree, *this);
}

double VarianceTerms::weigh(const std::vector<int>& channels, const ErrorVariances& variances) {
  const auto error = [&](std::size_t a) {
    return channels[a] == 0 ? variances.oven : variances.of_meter(channels[a] - 1);
  };
  auto& inverse = weights_.inverse;
  const std::size_t count = channels.size();
  double log_det = 0.0;
  if (count == 1) {
    const double variance = variances.fruit + error(0);
    inverse[0][0] = 1.0 / variance;
    log_det = std::log(variance);
  } else if (count == 2) {
    const double first = variances.fruit + error(0);
    const double second = variances.fruit + error(1);
    const double det = first * second - variances.fruit * variances.fruit;
    inverse[0][0] = second / det;
    inverse[1][1] = first / det;
    inverse[0][1] = inverse[1][0] = -variances.fruit / det;
    log_det = std::log(det);
  } else {
    // A diagonal and the fruit's own variance in every cell (Sherman and Morrison).
    double precision = 0.0;
    double product = 1.0;
    for (std::size_t a = 0; a < count; ++a) {
      precision += 1.0 / error(a);
      product *= error(a);
    }
    const double spread = 1.0 + variances.fruit * precision;
    for (std::size_t a = 0; a < count; ++a) {
      for (std::size_t b = 0; b < count; ++b) {
        inverse[a][b] =
            (a == b ? 1.0 / error(a) : 0.0) - variances.fruit / spread / error(a) / error(b);
      }
    }
    log_det = std::log(product * spread);
  }
  weights_.all = 0.0;
  for (std::size_t a = 0; a < count; ++a) {
    weights_.row[a] = inverse[a][a];
    for (std::size_t b = 0; b < count; ++b) {
      weights_.row[a] += a == b ? 0.0 : inverse[a][b];
    }
    weights_.all += weights_.row[a];
  }
  return log_det;
}

void VarianceTerms::sum_kind(const TreeSums::KindSums& kind) {
  const int width = 1 + sums_.slopes_;
  const KindWeights& w = weights_;
  information_.topLeftCorner(width, width) += w.all * kind.zz;
  design_.topRows(width) += w.all * kind.z;
  if (kind.channels.size() == 1) {
    score_.head(width) += w.row[0] * kind.z_reading.col(0);
    reading_ += w.row[0] * kind.reading.col(0);
  } else {
    score_.head(width) += w.row[0] * kind.z_reading.col(0) + w.row[1] * kind.z_reading.col(1);
    reading_ += w.row[0] * kind.reading.col(0) + w.row[1] * kind.reading.col(1);
  }
  double square = 0.0;
  for (std::size_t a = 0; a < kind.channels.size(); ++a) {
    const auto row = static_cast<Eigen::Index>(a);
    if (a > 1) {
      score_.head(width) += w.row[a] * kind.z_reading.col(row);
      reading_ += w.row[a] * kind.reading.col(row);
    }
    for (std::size_t b = 0; b <= a; ++b) {
      square += (a == b ? 1.0 : 2.0) * w.inverse[a][b] *
                kind.reading_reading(row, static_cast<Eigen::Index>(b));
    }
    if (kind.channels[a] > 0) {
      const int bias = width + kind.channels[a] - 1;
      information_.row(bias).head(width) += w.row[a] * kind.z_total.transpose();
      design_.row(bias) += w.row[a] * kind.z.row(0);
      double weighted = 0.0;
      for (std::size_t b = 0; b < kind.channels.size(); ++b) {
        weighted += w.inverse[a][b] * kind.reading_total[static_cast<Eigen::Index>(b)];
        if (b <= a && kind.channels[b] > 0) {
          information_(bias, width + kind.channels[b] - 1) += w.inverse[a][b] * kind.n;
        }
      }
      score_[bias] += weighted;
    }
  }
  data_square_ += square;
}

}  // namespace maturity
