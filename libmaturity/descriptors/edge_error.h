#pragma once

#include <span>
#include <vector>

#include "libmaturity/core/polygon.h"

namespace maturity {

/// Spread of a first-order value under edge errors: each point of an evenly spaced closed outline
/// moves across the edge by an error of standard deviation `sd`, two points s apart along the edge
/// correlated exp(-s^2 / (2 length^2)).
class EdgeError {
 public:
  /// `step`: distance between neighbours; `correlation_length` in the same unit, above 0.
  EdgeError(double sd, double correlation_length, double step);

  /// Standard error of sum_i gradient_i * error_i.
  double of(std::span<const double> gradient);

  /// The gradient so smoothed that covariances of errors become plain products: that of two values
  /// is the sum of the products of their smoothed gradients.
  std::vector<double> smoothed(std::span<const double> gradient);

  /// Covariance of sum_i weight_i * error_i with the same sum moved on by 0, 1, ... `lags` - 1
  /// points; the weights are a stretch of the line, 0 outside.
  std::vector<double> covariances(std::span<const double> weights, std::size_t lags) const;

 private:
  double sd_;
  /// The correlation is this kernel run over itself, so the variance is a sum of squares: it can
  /// never come out negative.
  std::vector<double> kernel_;
  std::vector<double> wrapped_;
};

/// Standard deviation of the part of the edge's roughness that goes with no neighbour, in the
/// outline's unit: from fourth differences along an evenly spaced outline (which shape hardly
/// reaches), by their median, so that one sharp place does not count.
double edge_roughness(const Polygon& even);

}  // namespace maturity
