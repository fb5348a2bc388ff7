#include "libmaturity/descriptors/greatest_above.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <numbers>

namespace maturity {

namespace {

constexpr Eigen::Index kDirections = 6;
constexpr Eigen::Index kPlaces = 256;
using Places = Eigen::Matrix<double, kPlaces, kDirections>;

/// Halton, J. H. (1960), Numer. Math. 2:84-90: the digits of i, read backwards.
double halton(int i, int base) {
  double share = 1.0;
  double sum = 0.0;
  for (; i > 0; i /= base) {
    share /= base;
    sum += share * (i % base);
  }
  return sum;
}

/// The value below which a standard normal one lies with that chance (halving: only done once).
double normal_quantile(double chance) {
  double low = -8.0;
  double high = 8.0;
  for (int k = 0; k < 60; ++k) {
    const double middle = 0.5 * (low + high);
    (0.5 * std::erfc(-middle / std::numbers::sqrt2) < chance ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

/// Normal in all directions, with a variance of 1 in each and none in common. The first, along
/// which the most happens, is cut into equal parts, the others follow Halton.
Places normal_places() {
  constexpr std::array<int, kDirections - 1> kBases = {2, 3, 5, 7, 11};
  Places places;
  for (Eigen::Index i = 0; i < kPlaces; ++i) {
    places(i, 0) = normal_quantile((static_cast<double>(i) + 0.5) / static_cast<double>(kPlaces));
    for (Eigen::Index k = 1; k < kDirections; ++k) {
      const int base = kBases[static_cast<std::size_t>(k - 1)];
      // Half a step on, so that none lies at 0.
      places(i, k) = normal_quantile(std::fmod(
          halton(static_cast<int>(i) + 1, base) + 0.5 / static_cast<double>(kPlaces), 1.0));
    }
  }
  places.rowwise() -= places.colwise().mean().eval();
  const Eigen::MatrixXd covariance = places.transpose() * places / static_cast<double>(kPlaces);
  const Eigen::MatrixXd root = covariance.llt().matrixU();
  places = (places * root.inverse()).eval();
  return places;
}

/// Main directions of the errors, the largest first (Cholesky with pivots); what little is left
/// after six of them is dropped.
Eigen::MatrixXd main_directions(Eigen::MatrixXd left) {
  const Eigen::Index n = left.rows();
  Eigen::MatrixXd directions = Eigen::MatrixXd::Zero(n, kDirections);
  const double least = 1e-6 * left.diagonal().maxCoeff();
  for (Eigen::Index k = 0; k < std::min(n, kDirections); ++k) {
    Eigen::Index top = 0;
    const double most = left.diagonal().maxCoeff(&top);
    if (!(most > least)) {
      break;
    }
    const Eigen::VectorXd column = left.col(top) / std::sqrt(most);
    directions.col(k) = column;
    left -= column * column.transpose();
  }
  return directions;
}

}  // namespace

GreatestAbove greatest_above_zero(const Eigen::VectorXd& values,
                                  const Eigen::MatrixXd& covariance) {
  static const Places places = normal_places();
  const Eigen::Index n = values.size();
  const Eigen::MatrixXd directions = main_directions(covariance);
  Eigen::Array<double, kPlaces, 1> top = Eigen::Array<double, kPlaces, 1>::Zero();
  std::array<Eigen::Index, kPlaces> winner;
  winner.fill(-1);
  for (Eigen::Index j = 0; j < n; ++j) {
    const Eigen::Array<double, kPlaces, 1> value =
        (places * directions.row(j).transpose()).array() + values(j);
    for (Eigen::Index i = 0; i < kPlaces; ++i) {
      const bool higher = value(i) > top(i);
      top(i) = higher ? value(i) : top(i);
      winner[static_cast<std::size_t>(i)] = higher ? j : winner[static_cast<std::size_t>(i)];
    }
  }
  constexpr double kShare = 1.0 / static_cast<double>(kPlaces);
  GreatestAbove result;
  result.chance.assign(static_cast<std::size_t>(n), 0.0);
  for (const Eigen::Index j : winner) {
    if (j >= 0) {
      result.chance[static_cast<std::size_t>(j)] += kShare;
    }
  }
  result.mean = top.sum() * kShare;
  result.variance = (top - result.mean).square().sum() * kShare;
  return result;
}

}  // namespace maturity
