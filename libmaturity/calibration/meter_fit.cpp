#include "libmaturity/calibration/meter_fit.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <map>

#include "libmaturity/stats/one_way.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

constexpr int kFewestDegrees = 5;

std::map<std::string, std::vector<double>> errors_by_block(const MeterPairs& pairs) {
  if (pairs.block.size() != pairs.oven.size()) {
    reject_argument("block", std::to_string(pairs.block.size()) + " labels",
                    std::to_string(pairs.oven.size()) + ", one per fruit");
  }
  std::map<std::string, std::vector<double>> errors;
  for (std::size_t i = 0; i < pairs.block.size(); ++i) {
    if (pairs.block[i].empty()) {
      reject_argument("block, fruit " + std::to_string(i + 1), "blank", "a block label");
    }
    const double error = pairs.meter[i] - pairs.oven[i];
    if (!std::isnan(error)) {
      errors[pairs.block[i]].push_back(error);
    }
  }
  return errors;
}

}  // namespace

MeterFit fit_meter(const MeterPairs& pairs) {
  MeterFit fit;
  fit.overall = agreement(pairs.oven, pairs.meter);
  const auto by_block = errors_by_block(pairs);
  std::vector<std::vector<double>> groups;
  double within = 0.0;
  for (const auto& [block, errors] : by_block) {
    BlockBias bias{block, static_cast<int>(errors.size()), 0.0, 0.0};
    for (const double error : errors) {
      bias.bias += error / bias.pairs;
    }
    for (const double error : errors) {
      within += (error - bias.bias) * (error - bias.bias);
    }
    fit.blocks.push_back(bias);
    groups.push_back(errors);
  }
  const int degrees = fit.overall.pairs - static_cast<int>(groups.size());
  const double sep = degrees > 0 ? std::sqrt(within / degrees) : fit.overall.sep;
  for (BlockBias& bias : fit.blocks) {
    bias.standard_error = sep / std::sqrt(bias.pairs);
  }
  if (degrees >= kFewestDegrees) {
    fit.within_block_sep = sep;
    fit.within_block_fruit = degrees + 1;
  }
  if (groups.size() > 1 && degrees > 0) {
    fit.bias_sd_between_blocks = std::sqrt(analyse_one_way(groups).between_variance);
  }
  return fit;
}

}  // namespace maturity
