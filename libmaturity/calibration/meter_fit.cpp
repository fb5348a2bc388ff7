#include "libmaturity/calibration/meter_fit.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <map>

#include "libmaturity/calibration/left_out_readings.h"
#include "libmaturity/calibration/meter_moments.h"
#include "libmaturity/calibration/slope_spread.h"
#include "libmaturity/stats/one_way.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

constexpr int kFewestDegrees = 5;
/// SD of a meter's slope between real populations (open data, docs/method).
constexpr double kGuessedSlopeSd = 0.13;

void check_labels(const MeterPairs& pairs) {
  const std::size_t n = pairs.oven.size();
  const auto check_length = [&](const char* name, const std::vector<std::string>& labels) {
    if (labels.size() != n) {
      reject_argument(name, std::to_string(labels.size()) + " labels",
                      std::to_string(n) + ", one per fruit");
    }
  };
  check_length("block", pairs.block);
  if (!pairs.fold.empty()) {
    check_length("fold", pairs.fold);
  }
  if (!pairs.season.empty()) {
    check_length("season", pairs.season);
  }
  for (std::size_t i = 0; i < n; ++i) {
    if (pairs.block[i].empty()) {
      reject_argument("block, fruit " + std::to_string(i + 1), "blank", "a block label");
    }
  }
}

std::optional<MeterSlope> slope_of(const std::map<std::string, MeterMoments>& blocks, double pooled,
                                   double error_variance) {
  double weights = 0.0;
  double squares = 0.0;
  double heterogeneity = 0.0;
  MeterSlope result;
  for (const auto& [block, one] : blocks) {
    if (one.oven_squares > 0.0) {
      const double weight = one.oven_squares / error_variance;
      const double gap = one.both / one.oven_squares - pooled;
      weights += weight;
      squares += weight * weight;
      heterogeneity += weight * gap * gap;
      ++result.blocks;
    }
  }
  const double scale = weights - squares / weights;
  const double between = result.blocks > 1 ? (heterogeneity - (result.blocks - 1.0)) / scale : 0.0;
  const double estimated = std::max(0.0, between);
  const double spread = spread_to_use(estimated, kGuessedSlopeSd * kGuessedSlopeSd, result.blocks);
  double information = 0.0;
  for (const auto& [block, one] : blocks) {
    if (one.oven_squares > 0.0) {
      const double weight = 1.0 / (spread + error_variance / one.oven_squares);
      information += weight;
      result.mean += weight * one.both / one.oven_squares;
    }
  }
  result.mean /= information;
  result.standard_error = std::sqrt(1.0 / information);
  result.estimated_between_block_sd = std::sqrt(estimated);
  result.between_block_sd = std::sqrt(spread);
  result.new_block_sd = std::sqrt(spread + 1.0 / information);
  return result;
}

/// SEP after bias and slope, and the slope that it is about.
void describe_error(MeterFit& fit, const std::map<std::string, MeterMoments>& blocks) {
  MeterMoments within;
  double errors = 0.0;
  for (const auto& [block, one] : blocks) {
    within.add(one);
    errors += one.oven_squares - 2.0 * one.both + one.meter_squares;
  }
  const int degrees = fit.overall.pairs - static_cast<int>(blocks.size());
  const double plain = degrees > 0 ? std::sqrt(std::max(0.0, errors) / degrees) : fit.overall.sep;
  for (BlockBias& bias : fit.blocks) {
    bias.standard_error = plain / std::sqrt(bias.pairs);
  }
  if (!(within.oven_squares > 0.0)) {
    return;
  }
  const double slope = within.both / within.oven_squares;
  const double left = std::max(0.0, within.meter_squares - slope * within.both);
  if (degrees - 1 >= kFewestDegrees) {
    fit.within_block_sep = std::sqrt(left / (degrees - 1));
    fit.within_block_fruit = degrees;
    if (left > 0.0) {
      fit.slope = slope_of(blocks, slope, left / (degrees - 1));
    }
  }
}

}  // namespace

MeterFit fit_meter(const MeterPairs& pairs) {
  check_labels(pairs);
  MeterFit fit;
  fit.overall = agreement(pairs.oven, pairs.meter);
  std::map<std::string, std::vector<double>> errors;
  for (std::size_t i = 0; i < pairs.oven.size(); ++i) {
    const double error = pairs.meter[i] - pairs.oven[i];
    if (!std::isnan(error)) {
      errors[pairs.block[i]].push_back(error);
    }
  }
  std::vector<std::vector<double>> groups;
  for (const auto& [block, of_block] : errors) {
    BlockBias bias{block, static_cast<int>(of_block.size()), 0.0, 0.0};
    for (const double error : of_block) {
      bias.bias += error / bias.pairs;
    }
    fit.blocks.push_back(bias);
    groups.push_back(of_block);
  }
  describe_error(fit, meter_moments(pairs, pairs.block));
  if (groups.size() > 1 && fit.overall.pairs > static_cast<int>(groups.size())) {
    fit.bias_sd_between_blocks = std::sqrt(analyse_one_way(groups).between_variance);
  }
  const std::vector<std::string>& fold = pairs.fold.empty() ? pairs.block : pairs.fold;
  fit.by_block = clustered_agreement(pairs.oven, pairs.meter, fold, pairs.block);
  fit.corrected_by_fold = left_out_readings(pairs, fold);
  if (!pairs.season.empty()) {
    fit.by_season = clustered_agreement(pairs.oven, pairs.meter, pairs.season, pairs.block);
    fit.corrected_by_season = left_out_readings(pairs, pairs.season);
  }
  return fit;
}

}  // namespace maturity
