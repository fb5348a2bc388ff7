#include "libmaturity/calibration/left_out_readings.h"

#include <cmath>
#include <cstddef>
#include <limits>
#include <map>
#include <set>

#include "libmaturity/calibration/meter_moments.h"

namespace maturity {

namespace {

/// Flattest slope of readings on oven that is read backwards.
constexpr double kFlattest = 0.2;

/// oven = intercept + slope x reading
struct ReadingLine {
  double intercept = 0.0;
  double slope = 0.0;
};

std::optional<ReadingLine> line_without(const std::map<std::string, MeterMoments>& blocks,
                                        const std::map<std::string, std::string>& fold_of,
                                        const std::string& left_out) {
  MeterMoments within;
  double oven = 0.0;
  double meter = 0.0;
  double count = 0.0;
  for (const auto& [block, one] : blocks) {
    if (fold_of.at(block) != left_out) {
      within.add(one);
      oven += one.oven_mean;
      meter += one.meter_mean;
      count += 1.0;
    }
  }
  if (!(within.both > kFlattest * within.oven_squares)) {
    return std::nullopt;
  }
  const double slope = within.oven_squares / within.both;
  return ReadingLine{(oven - slope * meter) / count, slope};
}

bool all_equal(const std::vector<double>& values) {
  double first = std::numeric_limits<double>::quiet_NaN();
  for (const double value : values) {
    if (std::isnan(value)) {
      continue;
    }
    if (std::isnan(first)) {
      first = value;
    } else if (value != first) {
      return false;
    }
  }
  return true;
}

}  // namespace

std::optional<LeftOutReadings> left_out_readings(const MeterPairs& pairs,
                                                 const std::vector<std::string>& fold) {
  const auto blocks = meter_moments(pairs, pairs.block);
  std::map<std::string, std::string> fold_of;
  for (std::size_t i = 0; i < fold.size(); ++i) {
    fold_of.emplace(pairs.block[i], fold[i]);
  }
  std::set<std::string> folds;
  for (const auto& [block, one] : blocks) {
    folds.insert(fold_of.at(block));
  }
  if (folds.size() < 2) {
    return std::nullopt;
  }
  std::vector<double> predicted(pairs.oven.size(), std::numeric_limits<double>::quiet_NaN());
  for (const std::string& left_out : folds) {
    const auto line = line_without(blocks, fold_of, left_out);
    if (!line) {
      return std::nullopt;
    }
    for (std::size_t i = 0; i < fold.size(); ++i) {
      if (fold_of.at(pairs.block[i]) == left_out && !std::isnan(pairs.oven[i])) {
        predicted[i] = line->intercept + line->slope * pairs.meter[i];
      }
    }
  }
  if (all_equal(predicted)) {
    return std::nullopt;
  }
  std::vector<std::string> label;
  label.reserve(pairs.block.size());
  for (const std::string& block : pairs.block) {
    label.push_back(fold_of.at(block));
  }
  return LeftOutReadings{
      static_cast<int>(folds.size()), agreement(pairs.oven, predicted),
      clustered_agreement(pairs.oven, predicted, label, pairs.block, PredictedBy::left_out_blocks)};
}

}  // namespace maturity
