#include "libmaturity/calibration/cross_validation.h"

#include <algorithm>
#include <array>
#include <cstddef>
#include <limits>
#include <set>
#include <string>

#include "libmaturity/stats/random_stream.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

constexpr std::array<double, 5> kShares{0.02, 0.1, 0.3, 0.5, 0.8};
constexpr double kDefaultShare = 0.3;

double left_over(const BlockMoments& block, const BlockSlopes& fit) {
  const Eigen::VectorXd& b = fit.slopes;
  const Eigen::VectorXd xy = block.xy(fit.columns);
  const Eigen::MatrixXd xx = block.xx(fit.columns, fit.columns);
  return block.yy - 2.0 * b.dot(xy) + b.dot(xx * b);
}

struct Judged {
  double within_r_squared = 0.0;
  std::vector<Eigen::VectorXd> slopes;
};

BlockSlopes nested_fit(const std::vector<const BlockMoments*>& others,
                       const std::vector<bool>& constant, const CrossValidationOptions& options) {
  const std::vector<Eigen::Index> columns =
      options.columns.empty() ? select_descriptors(others, constant, options.selection)
                              : options.columns;
  if (columns.empty()) {
    return {};
  }
  return fit_block_slopes(others, columns, choose_shape_share(others, columns));
}

Judged judge(const std::vector<BlockMoments>& blocks, const std::vector<bool>& constant,
             const CrossValidationOptions& options) {
  Judged judged;
  judged.slopes.resize(blocks.size());
  std::set<std::string> folds;
  for (const BlockMoments& block : blocks) {
    folds.insert(block.fold);
  }
  double residual = 0.0;
  double total = 0.0;
  for (const std::string& fold : folds) {
    std::vector<const BlockMoments*> others;
    for (const BlockMoments& block : blocks) {
      if (block.fold != fold) {
        others.push_back(&block);
      }
    }
    const BlockSlopes fit = nested_fit(others, constant, options);
    for (std::size_t b = 0; b < blocks.size(); ++b) {
      if (blocks[b].fold != fold) {
        continue;
      }
      residual += fit.columns.empty() ? blocks[b].yy : left_over(blocks[b], fit);
      total += blocks[b].yy;
      judged.slopes[b] = Eigen::VectorXd::Zero(blocks[b].xy.size());
      if (!fit.columns.empty()) {
        judged.slopes[b](fit.columns) = fit.slopes;
      }
    }
  }
  judged.within_r_squared = total > 0.0 ? 1.0 - residual / total : 0.0;
  return judged;
}

/// Centred, scaled descriptors and centred dry matter of each block, for shuffling.
struct Rows {
  std::vector<Eigen::MatrixXd> x;
  std::vector<Eigen::VectorXd> y;
};

Rows centred_rows(const ShapeTraining& training, const TrainingBlocks& gathered) {
  Rows rows;
  std::vector<Eigen::Index> next(gathered.blocks.size(), 0);
  for (const BlockMoments& block : gathered.blocks) {
    rows.x.emplace_back(block.fruit, training.shape.cols());
    rows.y.emplace_back(block.fruit);
  }
  for (std::size_t i = 0; i < gathered.row.size(); ++i) {
    const std::size_t b = gathered.block_of_row[i];
    rows.x[b].row(next[b]) = training.shape.row(gathered.row[i]);
    rows.y[b][next[b]++] = training.oven[static_cast<std::size_t>(gathered.row[i])];
  }
  for (std::size_t b = 0; b < rows.x.size(); ++b) {
    rows.x[b].rowwise() -= rows.x[b].colwise().mean().eval();
    rows.x[b] = (rows.x[b] * gathered.scale.cwiseInverse().asDiagonal()).eval();
    rows.y[b].array() -= rows.y[b].mean();
  }
  return rows;
}

void shuffle(Eigen::VectorXd& values, RandomStream& stream) {
  for (Eigen::Index i = values.size() - 1; i > 0; --i) {
    std::swap(values[i],
              values[static_cast<Eigen::Index>(stream.below(static_cast<std::size_t>(i) + 1))]);
  }
}

double permutation_p(const ShapeTraining& training, const TrainingBlocks& gathered,
                     const CrossValidationOptions& options, double observed) {
  Rows rows = centred_rows(training, gathered);
  std::vector<BlockMoments> shuffled = gathered.blocks;
  RandomStream stream(options.seed);
  int as_much = 0;
  for (int run = 0; run < options.permutations; ++run) {
    for (std::size_t b = 0; b < shuffled.size(); ++b) {
      shuffle(rows.y[b], stream);
      shuffled[b].xy = rows.x[b].transpose() * rows.y[b];
    }
    as_much += judge(shuffled, gathered.constant, options).within_r_squared >= observed ? 1 : 0;
  }
  return (as_much + 1.0) / (options.permutations + 1.0);
}

}  // namespace

double choose_shape_share(const std::vector<const BlockMoments*>& blocks,
                          const std::vector<Eigen::Index>& columns) {
  if (blocks.size() < 3) {
    return kDefaultShare;
  }
  double best = std::numeric_limits<double>::infinity();
  double chosen = kDefaultShare;
  for (const double share : kShares) {
    double residual = 0.0;
    for (std::size_t out = 0; out < blocks.size(); ++out) {
      std::vector<const BlockMoments*> others = blocks;
      others.erase(others.begin() + static_cast<std::ptrdiff_t>(out));
      residual += left_over(*blocks[out], fit_block_slopes(others, columns, share));
    }
    if (residual < best) {
      best = residual;
      chosen = share;
    }
  }
  return chosen;
}

std::optional<CrossValidation> cross_validate(const ShapeTraining& training,
                                              const TrainingBlocks& gathered,
                                              const CrossValidationOptions& options) {
  if (options.permutations < 19) {
    reject_argument("permutations", options.permutations, "at least 19, or no P-value below 0.05");
  }
  std::set<std::string> folds;
  for (const BlockMoments& block : gathered.blocks) {
    folds.insert(block.fold);
  }
  if (folds.size() < 2) {
    return std::nullopt;
  }
  const Judged judged = judge(gathered.blocks, gathered.constant, options);
  CrossValidation result;
  result.folds = static_cast<int>(folds.size());
  result.within_r_squared = judged.within_r_squared;
  result.slopes_without_block = judged.slopes;
  result.p_value = permutation_p(training, gathered, options, judged.within_r_squared);
  return result;
}

}  // namespace maturity
