#include "tests/descriptors/trait_pairs.h"

#include <Eigen/Dense>

namespace maturity::shapes {

namespace {

/// Ranks from -1 to 1.
Eigen::VectorXd even_ranks(const std::vector<double>& values) {
  const std::vector<double> plain = ranks(values);
  const auto n = static_cast<Eigen::Index>(plain.size());
  const Eigen::VectorXd all = Eigen::Map<const Eigen::VectorXd>(plain.data(), n);
  const double middle = all.mean();
  return (all.array() - middle) / (all.maxCoeff() - middle);
}

}  // namespace

TraitOrder order_by_trait(const std::vector<TraitFruit>& fruit, const std::string& trait,
                          const std::vector<double>& value) {
  const std::vector<double> truth = trait_of(fruit, trait);
  const auto rows = static_cast<Eigen::Index>(fruit.size());
  const auto others = static_cast<Eigen::Index>(fruit.front().traits.size()) - 1;
  Eigen::MatrixXd known(rows, 2 * others + 1);
  known.col(0).setOnes();
  Eigen::Index column = 0;
  for (const auto& [name, unused] : fruit.front().traits) {
    static_cast<void>(unused);
    if (name != trait) {
      const Eigen::VectorXd rank = even_ranks(trait_of(fruit, name));
      known.col(++column) = rank;
      known.col(++column) = rank.array().square();
    }
  }
  const Eigen::HouseholderQR<Eigen::MatrixXd> solver(known);
  const auto left = [&](const std::vector<double>& x) -> Eigen::VectorXd {
    const Eigen::VectorXd rank = even_ranks(x);
    return rank - known * solver.solve(rank);
  };
  const Eigen::VectorXd of_value = left(value);
  const Eigen::VectorXd of_truth = left(truth);
  return {rank_correlation(value, truth),
          of_value.dot(of_truth) / (of_value.norm() * of_truth.norm())};
}

}  // namespace maturity::shapes
