#include "libmaturity/readiness/phase_one.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <set>
#include <stdexcept>

namespace maturity {

namespace {

double few_trees_factor(int trees) {
  const double k = trees;
  return k / (k - 1.0) * (trees >= 5 ? (k - 1.0) / (k - 3.0) : 2.0);
}

std::vector<int> member_rows(const std::vector<bool>& member) {
  std::vector<int> rows;
  for (std::size_t i = 0; i < member.size(); ++i) {
    if (member[i]) {
      rows.push_back(static_cast<int>(i));
    }
  }
  return rows;
}

Eigen::MatrixXd covariance_of_mean(const Eigen::MatrixXd& x, const std::vector<int>& rows,
                                   const std::vector<int>& tree, int trees) {
  const int codes = *std::max_element(tree.begin(), tree.end()) + 1;
  Eigen::MatrixXd sums = Eigen::MatrixXd::Zero(x.cols(), codes);
  for (const int row : rows) {
    sums.col(tree[static_cast<std::size_t>(row)]) += x.row(row).transpose();
  }
  const auto n = static_cast<double>(rows.size());
  return few_trees_factor(trees) / (n * n) * sums * sums.transpose();
}

}  // namespace

PhaseOne standardise(const Eigen::MatrixXd& raw, const std::vector<bool>& member,
                     const std::vector<int>& tree) {
  const std::vector<int> rows = member_rows(member);
  std::set<int> trees;
  for (const int row : rows) {
    trees.insert(tree[static_cast<std::size_t>(row)]);
  }
  PhaseOne one;
  one.fruit = static_cast<int>(rows.size());
  one.trees = static_cast<int>(trees.size());
  const Eigen::Index p = raw.cols();
  one.x = raw;
  one.mean = Eigen::VectorXd::Zero(p);
  one.sd = Eigen::VectorXd::Ones(p);
  one.between_fruit = Eigen::MatrixXd::Zero(p, p);
  one.of_the_mean = Eigen::MatrixXd::Zero(p, p);
  if (p == 0) {
    return one;
  }
  if (one.fruit < 2) {
    throw std::invalid_argument("member: " + std::to_string(one.fruit) +
                                " fruit with shape; at least 2 are needed");
  }
  const double n = one.fruit;
  for (const int row : rows) {
    one.mean += raw.row(row).transpose() / n;
  }
  Eigen::VectorXd squares = Eigen::VectorXd::Zero(p);
  for (const int row : rows) {
    squares += (raw.row(row).transpose() - one.mean).cwiseAbs2();
  }
  one.sd = (squares / (n - 1.0)).cwiseSqrt();
  one.x = (raw.rowwise() - one.mean.transpose()) * one.sd.cwiseInverse().asDiagonal();
  for (const int row : rows) {
    one.between_fruit += one.x.row(row).transpose() * one.x.row(row) / (n - 1.0);
  }
  one.of_the_mean =
      one.trees == 1 ? one.between_fruit : covariance_of_mean(one.x, rows, tree, one.trees);
  return one;
}

std::vector<int> constant_columns(const Eigen::MatrixXd& raw, const std::vector<bool>& member) {
  // Relative to the values themselves: rounding of a mean leaves about this much.
  constexpr double kRelative = 1e-12;
  const std::vector<int> rows = member_rows(member);
  std::vector<int> constant;
  for (Eigen::Index column = 0; column < raw.cols(); ++column) {
    double low = raw(rows.front(), column);
    double high = low;
    for (const int row : rows) {
      low = std::min(low, raw(row, column));
      high = std::max(high, raw(row, column));
    }
    if (high - low <= kRelative * std::max(std::abs(low), std::abs(high))) {
      constant.push_back(static_cast<int>(column));
    }
  }
  return constant;
}

}  // namespace maturity
