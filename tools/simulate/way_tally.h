#pragma once

#include <array>
#include <cstddef>
#include <ostream>
#include <string>

#include "libmaturity/readiness/block_estimate.h"

namespace maturity::simulate {

/// True shares at which "ready" is counted, besides blocks of any share.
inline constexpr std::array<double, 3> kReadyAt{0.85, 0.89, 0.95};

/// What one way of estimating came to over many blocks.
class WayTally {
 public:
  /// A block of any share counts for coverage, one of share kReadyAt[k] for "ready".
  void count(const BlockEstimate& block, double true_mean, double true_share);
  void count_ready(const BlockEstimate& block, std::size_t k);
  /// Cells: mean 95, share 95, share 80, width of mean 95, bias of mean, "ready" at each share.
  void print(std::ostream& out, double replicates) const;
  static void print_head(std::ostream& out, const std::string& first_columns, int columns);

 private:
  double mean_95_ = 0.0;
  double share_95_ = 0.0;
  double share_80_ = 0.0;
  double width_ = 0.0;
  double error_ = 0.0;
  std::array<double, kReadyAt.size()> ready_{};
};

}  // namespace maturity::simulate
