#include "libmaturity/readiness/check_block_input.h"

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <stdexcept>
#include <string>

#include "libmaturity/core/version.h"
#include "libmaturity/readiness/tree_sums.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

// Outside this no fruit's dry matter lies: a slip of the pen, or another unit.
constexpr double kLowestDm = 3.0;
constexpr double kHighestDm = 40.0;
constexpr double kLowestShare = 0.5;
constexpr double kHighestShare = 0.999;

void check_length(const std::string& what, std::size_t length, std::size_t fruit) {
  if (length != 0 && length != fruit) {
    reject_argument(what, std::to_string(length) + " values",
                    std::to_string(fruit) + ", one per tree label");
  }
}

void check_readings(const std::string& what, const std::vector<double>& values,
                    const std::vector<std::string>& tree) {
  check_length(what, values.size(), tree.size());
  for (std::size_t i = 0; i < values.size(); ++i) {
    if (!std::isnan(values[i]) && !(values[i] >= kLowestDm && values[i] <= kHighestDm)) {
      reject_argument(what + ", fruit in row " + std::to_string(i + 1) + " (tree " + tree[i] + ")",
                      values[i], "dry matter within 3 to 40 % of fresh weight, or missing");
    }
  }
}

void check_open_range(const std::string& what, double value, const std::string& range) {
  if (!(value > kLowestShare && value < kHighestShare)) {
    reject_argument(what, value, range);
  }
}

void check_meter_error(const std::string& what, std::optional<double> sep_pct,
                       std::optional<int> sep_n) {
  if (sep_pct && !(*sep_pct > 0.0 && *sep_pct < 10.0)) {
    reject_argument(what, *sep_pct, "above 0 and below 10 %");
  }
  if (sep_n && (!sep_pct || *sep_n < 3)) {
    reject_argument("meter_sep_n", *sep_n, "at least 3 fruit, given with meter_sep_pct");
  }
}

void check_data(const BlockData& data) {
  if (data.tree.empty()) {
    throw std::invalid_argument("tree: no fruit; expected a tree label for each fruit");
  }
  for (std::size_t i = 0; i < data.tree.size(); ++i) {
    if (data.tree[i].empty()) {
      reject_argument("tree, fruit in row " + std::to_string(i + 1), "blank", "a tree label");
    }
  }
  check_readings("oven", data.oven, data.tree);
  check_readings("meter", data.meter, data.tree);
  if (data.further_meters.size() >= kMostMeters) {
    reject_argument("further_meters", std::to_string(data.further_meters.size()) + " instruments",
                    "at most " + std::to_string(kMostMeters - 1));
  }
  for (std::size_t m = 0; m < data.further_meters.size(); ++m) {
    const FurtherMeter& one = data.further_meters[m];
    const std::string name = "meter " + std::to_string(m + 2);
    check_readings(name, one.dm_pct, data.tree);
    check_meter_error(name + ", sep_pct", one.sep_pct, one.sep_n);
  }
  check_length("included", data.included.size(), data.tree.size());
  if (!data.included.empty() &&
      std::find(data.included.begin(), data.included.end(), true) == data.included.end()) {
    reject_argument("included", "all false", "at least one fruit of the random sample");
  }
  const auto rows = static_cast<std::size_t>(data.shape.rows());
  if (data.shape.cols() > 0 && rows != data.tree.size()) {
    reject_argument("shape", std::to_string(rows) + " rows",
                    std::to_string(data.tree.size()) + ", one per tree label");
  }
  for (Eigen::Index i = 0; i < data.shape.rows(); ++i) {
    for (Eigen::Index j = 0; j < data.shape.cols(); ++j) {
      if (std::isinf(data.shape(i, j))) {
        reject_argument(
            "shape, fruit in row " + std::to_string(i + 1) + ", column " + std::to_string(j + 1),
            data.shape(i, j), "a finite number, or missing");
      }
    }
  }
}

std::string joined(const std::vector<std::string>& names) {
  std::string text;
  for (const std::string& part : names) {
    text += text.empty() ? part : ", " + part;
  }
  return text.empty() ? "none" : text;
}

void check_calibration(const CalibrationSlopes& calibration, const BlockOptions& options,
                       Eigen::Index columns) {
  if (calibration.names != options.descriptor_names) {
    reject_argument("descriptor_names", joined(options.descriptor_names),
                    "those of the calibration: " + joined(calibration.names));
  }
  if (calibration.version != method_version()) {
    reject_argument("calibration.version", calibration.version,
                    "the measuring method of this library, " + std::to_string(method_version()));
  }
  const auto p = static_cast<Eigen::Index>(calibration.names.size());
  if (columns > 0 && columns != p) {
    reject_argument("shape", std::to_string(columns) + " columns", std::to_string(p));
  }
  const bool ranged = calibration.shape_mean.size() > 0;
  if (calibration.slopes.size() != p || calibration.slopes_covariance.rows() != p ||
      calibration.slopes_covariance.cols() != p ||
      (ranged && (calibration.shape_mean.size() != p || calibration.shape_covariance.rows() != p ||
                  calibration.shape_covariance.cols() != p))) {
    reject_argument(
        "calibration", "parts of different sizes",
        std::to_string(p) + " slopes, their covariance, and mean and covariance of the shapes");
  }
  const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> eigen(calibration.slopes_covariance,
                                                             Eigen::EigenvaluesOnly);
  constexpr double kRounding = -1e-9;
  if (p > 0 && calibration.slopes_covariance.allFinite() &&
      eigen.eigenvalues().minCoeff() < kRounding * std::abs(eigen.eigenvalues().maxCoeff())) {
    reject_argument("calibration.slopes_covariance, smallest eigenvalue",
                    eigen.eigenvalues().minCoeff(), "a covariance, which has none below 0");
  }
  if (!calibration.slopes.allFinite() || !calibration.slopes_covariance.allFinite()) {
    reject_argument("calibration", "slopes that are not numbers", "finite slopes and covariance");
  }
}

void check_options(const BlockOptions& options, Eigen::Index columns) {
  if (!options.descriptor_names.empty() && columns > 0 &&
      static_cast<Eigen::Index>(options.descriptor_names.size()) != columns) {
    reject_argument("descriptor_names", std::to_string(options.descriptor_names.size()) + " names",
                    std::to_string(columns) + ", one per column of shape");
  }
  check_meter_error("meter_sep_pct", options.meter_sep_pct, options.meter_sep_n);
  if (!(options.meter_slope >= 0.3 && options.meter_slope <= 1.7)) {
    reject_argument("meter_slope", options.meter_slope, "within 0.3 to 1.7");
  }
  if (!(options.meter_slope_sd >= 0.0 && options.meter_slope_sd <= options.meter_slope / 3.0)) {
    reject_argument("meter_slope_sd", options.meter_slope_sd,
                    "at least 0 and at most a third of meter_slope");
  }
  if (!(options.oven_sd_pct >= 0.0 && options.oven_sd_pct < 10.0)) {
    reject_argument("oven_sd_pct", options.oven_sd_pct, "at least 0 and below 10 %");
  }
  if (!(options.drop_nodes_below >= 0.0 && options.drop_nodes_below < 1e-3)) {
    reject_argument("drop_nodes_below", options.drop_nodes_below, "at least 0 and below 0.001");
  }
  if (options.calibration) {
    check_calibration(*options.calibration, options, columns);
  }
}

}  // namespace

void check_rule(const BlockRule& rule) {
  if (!(rule.minimum_dm_pct >= kLowestDm && rule.minimum_dm_pct <= kHighestDm)) {
    reject_argument("minimum_dm_pct", rule.minimum_dm_pct, "within 3 to 40 % of fresh weight");
  }
  check_open_range("required_share", rule.required_share, "between 0.5 and 0.999");
  check_open_range("confidence", rule.confidence, "between 0.5 and 0.999 (a share: 0.9, not 90)");
}

void check_block_input(const BlockData& data, const BlockRule& rule, const BlockOptions& options) {
  check_rule(rule);
  check_data(data);
  check_options(options, data.shape.cols());
}

}  // namespace maturity
