#include "libmaturity/readiness/node_solver.h"

#include <array>
#include <cmath>
#include <cstddef>
#include <stdexcept>
#include <string>
#include <utility>

namespace maturity {

namespace {

constexpr std::size_t at(int size, int row, int column) {
  return static_cast<std::size_t>(column) * static_cast<std::size_t>(size) +
         static_cast<std::size_t>(row);
}

/// Cholesky in place (lower part), solved = L^-1 right. Returns log det of the matrix.
template <int P>
double factor(double* matrix, const double* right, double* solved) {
  double det = 1.0;
  double log_det = 0.0;
  for (int j = 0; j < P; ++j) {
    double pivot = matrix[at(P, j, j)];
    for (int k = 0; k < j; ++k) {
      pivot -= matrix[at(P, j, k)] * matrix[at(P, j, k)];
    }
    const double root = std::sqrt(pivot);
    const double inverse = 1.0 / root;
    det *= pivot;
    if (det > 1e100 || det < 1e-100) {
      log_det += std::log(det);
      det = 1.0;
    }
    matrix[at(P, j, j)] = root;
    for (int i = j + 1; i < P; ++i) {
      double value = matrix[at(P, i, j)];
      for (int k = 0; k < j; ++k) {
        value -= matrix[at(P, i, k)] * matrix[at(P, j, k)];
      }
      matrix[at(P, i, j)] = value * inverse;
    }
    double value = right[j];
    for (int k = 0; k < j; ++k) {
      value -= matrix[at(P, j, k)] * solved[k];
    }
    solved[j] = value * inverse;
  }
  return log_det + std::log(det);
}

/// mean = L^-T solved, covariance = L^-T L^-1.
template <int P>
void finish_node(const double* lower, const double* solved, double* mean, double* covariance) {
  std::array<double, at(P, 0, P)> inverse{};
  for (int j = 0; j < P; ++j) {
    inverse[at(P, j, j)] = 1.0 / lower[at(P, j, j)];
    for (int i = j + 1; i < P; ++i) {
      double value = 0.0;
      for (int k = j; k < i; ++k) {
        value -= lower[at(P, i, k)] * inverse[at(P, k, j)];
      }
      inverse[at(P, i, j)] = value / lower[at(P, i, i)];
    }
  }
  for (int j = 0; j < P; ++j) {
    mean[j] = 0.0;
    for (int k = j; k < P; ++k) {
      mean[j] += inverse[at(P, k, j)] * solved[k];
    }
    for (int i = 0; i <= j; ++i) {
      double value = 0.0;
      for (int k = j; k < P; ++k) {
        value += inverse[at(P, k, i)] * inverse[at(P, k, j)];
      }
      covariance[at(P, i, j)] = covariance[at(P, j, i)] = value;
    }
  }
}

template <int... Size>
constexpr auto factors(std::integer_sequence<int, Size...> /*sizes*/) {
  return std::array{&factor<Size + 1>...};
}

template <int... Size>
constexpr auto finishers(std::integer_sequence<int, Size...> /*sizes*/) {
  return std::array{&finish_node<Size + 1>...};
}

}  // namespace

NodeSolver::NodeSolver(int slopes, int meters, double meter_bias_sd)
    : slopes_(slopes),
      meters_(meters),
      bias_precision_(1.0 / (meter_bias_sd * meter_bias_sd)),
      fixed_log_det_(-2.0 * std::log(kLevelGuessSd) - meters * (2.0 * std::log(meter_bias_sd))) {
  if (slopes < 0 || slopes > kMostSlopes) {
    throw std::invalid_argument("slopes: " + std::to_string(slopes) + " is outside 0.." +
                                std::to_string(kMostSlopes));
  }
  if (meters < 0 || meters > kMostMeters) {
    throw std::invalid_argument("meters: " + std::to_string(meters) + " is outside 0.." +
                                std::to_string(kMostMeters));
  }
  const int size = 1 + slopes + meters;
  const auto index = static_cast<std::size_t>(size - 1);
  factor_ = factors(std::make_integer_sequence<int, kLargestPhi>{}).at(index);
  finish_ = finishers(std::make_integer_sequence<int, kLargestPhi>{}).at(index);
  matrix_.resize(size, size);
  right_.resize(size);
  solved_.resize(size);
  mean_.resize(size);
  covariance_.resize(size, size);
}

double NodeSolver::log_evidence(const VarianceTerms& terms, const SlopePrior& prior) {
  matrix_ = terms.information();
  right_ = terms.score();
  matrix_(0, 0) += 1.0 / (kLevelGuessSd * kLevelGuessSd);
  for (int bias = 1 + slopes_; bias < 1 + slopes_ + meters_; ++bias) {
    matrix_(bias, bias) += bias_precision_;
  }
  for (Eigen::Index j = 0; j < slopes_; ++j) {
    right_[1 + j] += prior.precision_mean[j];
    for (Eigen::Index i = 0; i < slopes_; ++i) {
      matrix_(1 + i, 1 + j) += prior.precision(i, j);
    }
  }
  const double log_det_posterior = factor_(matrix_.data(), right_.data(), solved_.data());
  const double log_det_prior = fixed_log_det_ + prior.log_det_precision;
  const double misfit = terms.data_square() + prior.mean_square - solved_.squaredNorm();
  return -0.5 * (terms.log_det() + misfit) + 0.5 * (log_det_prior - log_det_posterior);
}

void NodeSolver::finish() {
  finish_(matrix_.data(), solved_.data(), mean_.data(), covariance_.data());
}

}  // namespace maturity
