#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "libmaturity/readiness/block_estimate.h"

namespace maturity {

/// Plainer ways to the same figures. Each assumes something that the block estimate does not.
enum class CrossCheckKind { plain_mean, tolerance_limit, two_phase_regression };
std::string_view name(CrossCheckKind kind);
/// What it takes for granted, and when that fails.
std::string_view assumption(CrossCheckKind kind);

/// Why a plainer figure differs strongly from the block estimate.
enum class Disagreement { clusters, selection, shape, meter, few_readings };
std::string_view name(Disagreement why);
std::string_view sentence(Disagreement why);

/// A mean with the half-width of Student's t behind its 95 % interval.
struct PlainMean {
  double mean = 0.0;
  double se = 0.0;
  Interval interval;
  int fruit = 0;
};

struct CrossChecks {
  /// Mean of the oven fruit, t interval; from 2 oven fruit on. %.
  std::optional<PlainMean> plain_mean;
  /// Lower one-sided tolerance limit of the oven fruit, %: with the rule's confidence at least the
  /// required share lies above it (from 3 oven fruit on).
  std::optional<double> tolerance_limit;
  /// 100 x the confidence with which the required share lies above the minimum, by the same theory.
  std::optional<double> plain_readiness;
  /// Oven fruit regressed on shape, carried to the mean shape of all photographed fruit; where
  /// oven fruit are at least 5 per descriptor and come from at least 3 trees.
  std::optional<PlainMean> two_phase_regression;
  /// Empty unless one of them differs strongly: a mean by more than the estimate's own SD, its
  /// standard error by more than half, a readiness by more than 25 in 100 (a design choice).
  std::vector<Disagreement> disagreements;
};

/// Figures to hold beside `estimate`, which must come from the same `data` and `options`.
/// Formulas: Student's t; noncentral t tolerance limit (NIST/SEMATECH e-Handbook 7.2.6.3);
/// double-sampling regression estimator (Cochran 1977, section 12.6, from memory) with
/// cluster-robust variance by trees. Throws like estimate_block.
CrossChecks cross_check(const BlockData& data, const BlockOptions& options,
                        const BlockEstimate& estimate);

}  // namespace maturity
