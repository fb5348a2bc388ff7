#include "libmaturity/calibration/block_moments.h"

#include <cmath>
#include <cstddef>
#include <map>

#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

constexpr double kLowestFruit = 3.0;
constexpr double kHighestFruit = 40.0;
constexpr double kConstant = 1e-10;

void check(const ShapeTraining& training) {
  const auto n = static_cast<Eigen::Index>(training.oven.size());
  if (training.shape.rows() != n || training.block.size() != training.oven.size() ||
      (!training.fold.empty() && training.fold.size() != training.oven.size()) ||
      (!training.season.empty() && training.season.size() != training.oven.size())) {
    reject_argument("oven", std::to_string(n) + " values",
                    "as many as rows of shape, block labels, fold labels and seasons");
  }
  if (training.shape.cols() < 1 ||
      training.shape.cols() != static_cast<Eigen::Index>(training.names.size())) {
    reject_argument("names", training.names.size(), "one per column of shape, and at least one");
  }
  for (Eigen::Index i = 0; i < n; ++i) {
    const auto k = static_cast<std::size_t>(i);
    const std::string place = ", fruit in row " + std::to_string(i + 1);
    if (training.block[k].empty() || (!training.fold.empty() && training.fold[k].empty())) {
      reject_argument("block, fold" + place, "blank", "a label");
    }
    if (!std::isnan(training.oven[k]) &&
        !(training.oven[k] >= kLowestFruit && training.oven[k] <= kHighestFruit)) {
      reject_argument("oven" + place, training.oven[k], "3 to 40 % of fresh weight, or missing");
    }
    if (training.shape.row(i).array().isInf().any()) {
      reject_argument("shape" + place, "infinite", "finite numbers, or missing");
    }
  }
}

std::map<std::string, std::vector<Eigen::Index>> usable_rows(const ShapeTraining& training) {
  std::map<std::string, std::vector<Eigen::Index>> rows;
  for (Eigen::Index i = 0; i < training.shape.rows(); ++i) {
    const auto k = static_cast<std::size_t>(i);
    if (!std::isnan(training.oven[k]) && training.shape.row(i).allFinite()) {
      rows[training.block[k]].push_back(i);
    }
  }
  return rows;
}

BlockMoments moments_of(const ShapeTraining& training, const std::vector<Eigen::Index>& rows) {
  const auto n = static_cast<Eigen::Index>(rows.size());
  Eigen::MatrixXd x(n, training.shape.cols());
  Eigen::VectorXd y(n);
  for (Eigen::Index i = 0; i < n; ++i) {
    const Eigen::Index row = rows[static_cast<std::size_t>(i)];
    x.row(i) = training.shape.row(row);
    y[i] = training.oven[static_cast<std::size_t>(row)];
  }
  x.rowwise() -= x.colwise().mean().eval();
  y.array() -= y.mean();
  const auto first = static_cast<std::size_t>(rows.front());
  BlockMoments moments;
  moments.block = training.block[first];
  moments.fold = training.fold.empty() ? training.block[first] : training.fold[first];
  moments.fruit = static_cast<int>(n);
  moments.xx = x.transpose() * x;
  moments.xy = x.transpose() * y;
  moments.yy = y.squaredNorm();
  return moments;
}

void check_folds(const ShapeTraining& training, const BlockMoments& block,
                 const std::vector<Eigen::Index>& rows) {
  for (const Eigen::Index row : rows) {
    const auto k = static_cast<std::size_t>(row);
    if (!training.fold.empty() && training.fold[k] != block.fold) {
      reject_argument("fold, fruit in row " + std::to_string(row + 1), training.fold[k],
                      "one fold for all fruit of block " + block.block + ", " + block.fold);
    }
  }
}

}  // namespace

TrainingBlocks gather_blocks(const ShapeTraining& training) {
  check(training);
  TrainingBlocks gathered;
  const Eigen::Index p = training.shape.cols();
  Eigen::VectorXd squares = Eigen::VectorXd::Zero(p);
  int degrees = 0;
  for (const auto& [label, rows] : usable_rows(training)) {
    if (rows.size() < 2) {
      continue;
    }
    gathered.blocks.push_back(moments_of(training, rows));
    check_folds(training, gathered.blocks.back(), rows);
    for (const Eigen::Index row : rows) {
      gathered.row.push_back(row);
      gathered.block_of_row.push_back(gathered.blocks.size() - 1);
    }
    squares += gathered.blocks.back().xx.diagonal();
    degrees += static_cast<int>(rows.size()) - 1;
  }
  gathered.left_out = static_cast<int>(training.oven.size() - gathered.row.size());
  if (gathered.blocks.empty()) {
    reject_argument("training", "no block with 2 usable fruit",
                    "fruit with outline and oven in the same block");
  }
  gathered.scale = (squares / degrees).cwiseSqrt();
  for (Eigen::Index j = 0; j < p; ++j) {
    const double size = 1.0 + training.shape.col(j)
                                  .array()
                                  .isNaN()
                                  .select(0.0, training.shape.col(j).array().abs())
                                  .maxCoeff();
    gathered.constant.push_back(gathered.scale[j] <= kConstant * size);
    gathered.scale[j] = gathered.constant.back() ? 1.0 : gathered.scale[j];
  }
  const Eigen::VectorXd inverse = gathered.scale.cwiseInverse();
  for (BlockMoments& block : gathered.blocks) {
    block.xx = inverse.asDiagonal() * block.xx * inverse.asDiagonal();
    block.xy = inverse.cwiseProduct(block.xy);
  }
  return gathered;
}

}  // namespace maturity
