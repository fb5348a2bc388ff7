#include "libmaturity/calibration/select_descriptors.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

struct Candidate {
  Eigen::Index column = 0;
  double strength = 0.0;
};

/// Group number of each column: columns joined by a chain of strong correlations share one.
std::vector<Eigen::Index> group_columns(const Eigen::MatrixXd& xx,
                                        const std::vector<bool>& constant, double same_at) {
  std::vector<Eigen::Index> group(static_cast<std::size_t>(xx.cols()));
  std::iota(group.begin(), group.end(), Eigen::Index{0});
  for (Eigen::Index i = 0; i < xx.cols(); ++i) {
    for (Eigen::Index j = i + 1; j < xx.cols(); ++j) {
      const auto a = static_cast<std::size_t>(i);
      const auto b = static_cast<std::size_t>(j);
      if (constant[a] || constant[b] ||
          std::abs(xx(i, j)) < same_at * std::sqrt(xx(i, i) * xx(j, j))) {
        continue;
      }
      const Eigen::Index from = group[b];
      std::replace(group.begin(), group.end(), from, group[a]);
    }
  }
  return group;
}

}  // namespace

std::vector<Eigen::Index> select_descriptors(const std::vector<const BlockMoments*>& blocks,
                                             const std::vector<bool>& constant,
                                             const SelectionRule& rule) {
  if (blocks.empty() || rule.at_most < 1 || rule.fruit_per_descriptor < 1 ||
      !(rule.same_at > 0.0)) {
    reject_argument("rule", rule.at_most, "blocks, and limits of at least 1");
  }
  const Eigen::Index p = blocks.front()->xx.cols();
  Eigen::MatrixXd xx = Eigen::MatrixXd::Zero(p, p);
  Eigen::VectorXd xy = Eigen::VectorXd::Zero(p);
  int degrees = 0;
  for (const BlockMoments* block : blocks) {
    xx += block->xx;
    xy += block->xy;
    degrees += block->fruit - 1;
  }
  const std::vector<Eigen::Index> group = group_columns(xx, constant, rule.same_at);
  std::vector<Candidate> best(static_cast<std::size_t>(p), Candidate{-1, -1.0});
  for (Eigen::Index j = 0; j < p; ++j) {
    const auto k = static_cast<std::size_t>(j);
    if (constant[k] || !(xx(j, j) > 0.0)) {
      continue;
    }
    const double strength = std::abs(xy[j]) / std::sqrt(xx(j, j));
    Candidate& leader = best[static_cast<std::size_t>(group[k])];
    if (strength > leader.strength) {
      leader = {j, strength};
    }
  }
  best.erase(std::remove_if(best.begin(), best.end(),
                            [](const Candidate& each) { return each.column < 0; }),
             best.end());
  std::stable_sort(best.begin(), best.end(), [](const Candidate& one, const Candidate& other) {
    return one.strength > other.strength;
  });
  const int allowed = std::clamp(degrees / rule.fruit_per_descriptor, 1, rule.at_most);
  best.resize(std::min(best.size(), static_cast<std::size_t>(allowed)));
  std::vector<Eigen::Index> columns;
  columns.reserve(best.size());
  for (const Candidate& each : best) {
    columns.push_back(each.column);
  }
  std::sort(columns.begin(), columns.end());
  return columns;
}

}  // namespace maturity
