#include "tools/simulate/replicate.h"

#include "libmaturity/readiness/block_estimate.h"
#include "libmaturity/readiness/cross_checks.h"

namespace maturity::simulate {

namespace {

bool inside(const Interval& interval, double value) {
  return interval.low <= value && value <= interval.high;
}

}  // namespace

Outcome run(const Drawn& drawn, const Method& method) {
  BlockRule rule;
  rule.minimum_dm_pct = kMinimum;
  rule.kind = method.rule;
  BlockOptions options;
  options.use_shape = method.shape_always ? UseShape::on : UseShape::automatic;
  options.meter_slope = method.meter_slope;
  options.meter_slope_sd = method.meter_slope_sd;
  options.meter_sep_pct = method.meter_sep;
  options.meter_sep_n = method.meter_sep_n;
  const BlockEstimate estimate = estimate_block(drawn.data, rule, options);
  const CrossChecks checks = cross_check(drawn.data, options, estimate);
  Outcome outcome;
  outcome.true_mean = drawn.true_mean;
  outcome.true_share = drawn.true_share;
  outcome.mean = estimate.mean_dm_pct.value();
  const Interval mean = estimate.mean_dm_interval.value();
  outcome.mean_width = mean.high - mean.low;
  outcome.mean_covered = inside(mean, drawn.true_mean);
  outcome.mean_covered_80 = inside(estimate.mean_dm_interval_80.value(), drawn.true_mean);
  outcome.share_covered = inside(estimate.share_interval.value(), drawn.true_share);
  outcome.share_covered_80 = inside(estimate.share_interval_80.value(), drawn.true_share);
  outcome.readiness = estimate.readiness.value() / 100.0;
  outcome.ready = estimate.decision == Decision::ready;
  outcome.not_yet = estimate.decision == Decision::not_yet;
  outcome.plain_mean_covered = inside(checks.plain_mean.value().interval, drawn.true_mean);
  outcome.plain_readiness = checks.plain_readiness.value() / 100.0;
  outcome.robust = estimate.robust;
  return outcome;
}

}  // namespace maturity::simulate
