#include "libmaturity/readiness/block_design.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <map>
#include <set>

#include "libmaturity/readiness/calibration_range.h"
#include "libmaturity/readiness/selection_tests.h"

namespace maturity {

namespace {

constexpr int kFewestReadingsForShape = 15;
constexpr double kMostWithoutPhoto = 0.2;
constexpr int kMostDescriptors = 8;
constexpr double kSelectionLevel = 0.01;
// Variance of the "has oven" slope, squared %: an oven sample 3 % off the rest is not far-fetched.
constexpr double kHasOvenVariance = 9.0;

bool present(const std::vector<double>& values, std::size_t i) {
  return i < values.size() && !std::isnan(values[i]);
}

/// Works the design out step by step; each step reads what the ones before it left.
class Designer {
 public:
  Designer(const BlockData& data, const BlockOptions& options)
      : data_(data), options_(options), n_(data.tree.size()) {}

  BlockDesign design() {
    code_trees();
    find_photographed();
    choose_descriptors();
    test_selection();
    choose_shape();
    choose_rows();
    standardise_columns();
    expect_slopes();
    judge_selection();
    return design_;
  }

 private:
  void flag(BlockFlag flag) { design_.flags.push_back(flag); }
  bool included(std::size_t i) const { return data_.included.empty() || data_.included[i]; }
  bool in_oven(std::size_t i) const { return present(data_.oven, i); }
  bool has_dry_matter(std::size_t i) const { return in_oven(i) || data_.metered(i); }
  bool declared() const { return options_.picked_on_purpose || options_.picked_by_shape_only; }
  bool meter_test_fired() const {
    return design_.p_by_meter && *design_.p_by_meter < kSelectionLevel;
  }
  bool shape_test_fired() const {
    return design_.p_by_shape && *design_.p_by_shape < kSelectionLevel;
  }

  void code_trees() {
    std::map<std::string, int> codes;
    for (const std::string& label : data_.tree) {
      design_.tree.push_back(codes.emplace(label, static_cast<int>(codes.size())).first->second);
    }
  }

  void find_photographed() {
    photographed_.assign(n_, false);
    member_.assign(n_, false);
    bool incomplete = false;
    if (data_.shape.cols() > 0) {
      for (std::size_t i = 0; i < n_; ++i) {
        const auto row = data_.shape.row(static_cast<Eigen::Index>(i));
        photographed_[i] = row.allFinite();
        incomplete = incomplete || (!photographed_[i] && !row.array().isNaN().all());
        member_[i] = photographed_[i] && included(i);
        members_ += member_[i] ? 1 : 0;
      }
    }
    if (incomplete) {
      flag(BlockFlag::incomplete_shape);
    }
  }

  void choose_descriptors() {
    if (members_ == 0) {
      return;
    }
    design_.dropped = constant_columns(data_.shape, member_);
    if (!design_.dropped.empty() && members_ > 1) {
      flag(BlockFlag::constant_descriptor);
    }
    for (int j = 0; j < static_cast<int>(data_.shape.cols()); ++j) {
      if (std::find(design_.dropped.begin(), design_.dropped.end(), j) == design_.dropped.end()) {
        design_.descriptors.push_back(j);
      }
    }
    const auto p = static_cast<int>(design_.descriptors.size());
    refused_ = p > kMostDescriptors || members_ <= p + 2;
  }

  void test_selection() {
    if (!design_.descriptors.empty() && !refused_) {
      std::vector<bool> oven(n_);
      for (std::size_t i = 0; i < n_; ++i) {
        oven[i] = photographed_[i] && in_oven(i);
      }
      design_.p_by_shape =
          selection_by_shape(standardise(shape_columns(), member_, design_.tree), oven);
    }
    design_.p_by_meter = selection_by_meters();
    if (declared()) {
      flag(BlockFlag::picked_on_purpose);
    }
    if (shape_test_fired()) {
      flag(BlockFlag::oven_fruit_differ_in_shape);
    }
    if (meter_test_fired()) {
      flag(BlockFlag::oven_fruit_differ_by_meter);
    }
    design_.robust = declared() || shape_test_fired() || meter_test_fired();
  }

  /// Each meter compares its own readings, since their biases differ; of several tests the smallest
  /// P-value counts times their number (Bonferroni).
  std::optional<double> selection_by_meters() const {
    std::optional<double> smallest = selection_by_meter(data_.oven, data_.meter);
    double tests = smallest ? 1.0 : 0.0;
    for (const FurtherMeter& one : data_.further_meters) {
      if (const std::optional<double> p = selection_by_meter(data_.oven, one.dm_pct)) {
        smallest = std::min(smallest.value_or(1.0), *p);
        tests += 1.0;
      }
    }
    return smallest ? std::optional(std::min(1.0, tests * *smallest)) : std::nullopt;
  }

  /// Empties the list of descriptors where shape is not to be used, and says why.
  void choose_shape() {
    if (members_ == 0) {
      flag(BlockFlag::no_shape);
      design_.descriptors.clear();
      return;
    }
    int readings = 0;
    int without_photo = 0;
    for (std::size_t i = 0; i < n_; ++i) {
      readings += has_dry_matter(i) ? 1 : 0;
      without_photo += has_dry_matter(i) && !photographed_[i] ? 1 : 0;
    }
    if (options_.calibration && options_.use_shape != UseShape::off) {
      design_.outside_calibration =
          outside_calibration(*options_.calibration, data_.shape, member_);
      if (design_.outside_calibration) {
        flag(BlockFlag::outside_calibration);
      }
    }
    const bool calibrated = options_.calibration && !design_.outside_calibration;
    if (options_.use_shape == UseShape::off) {
      leave_shape_out(BlockFlag::shape_switched_off);
    } else if (refused_) {
      leave_shape_out(BlockFlag::shape_refused);
    } else if (design_.descriptors.empty()) {
      leave_shape_out(BlockFlag::no_shape);
    } else if (without_photo > kMostWithoutPhoto * readings) {
      leave_shape_out(BlockFlag::photos_missing);
    } else if (options_.use_shape == UseShape::automatic && readings < kFewestReadingsForShape &&
               !design_.robust && !calibrated) {
      leave_shape_out(BlockFlag::shape_needs_more_readings);
    }
  }

  void leave_shape_out(BlockFlag why) {
    flag(why);
    design_.descriptors.clear();
  }

  void choose_rows() {
    const bool with_shape = !design_.descriptors.empty();
    std::set<int> trees;
    bool added = false;
    for (std::size_t i = 0; i < n_; ++i) {
      if (with_shape && !photographed_[i]) {
        design_.left_out_without_photo += has_dry_matter(i) ? 1 : 0;
        continue;
      }
      if (!with_shape) {
        member_[i] = included(i);
        added = added || (!included(i) && has_dry_matter(i));
      }
      design_.rows.push_back(static_cast<int>(i));
      trees.insert(design_.tree[i]);
    }
    design_.trees = static_cast<int>(trees.size());
    if (design_.left_out_without_photo > 0) {
      flag(BlockFlag::fruit_without_photo_left_out);
    }
    if (added) {
      flag(BlockFlag::added_fruit_without_shape);
    }
  }

  Eigen::MatrixXd shape_columns() const {
    Eigen::MatrixXd columns(static_cast<Eigen::Index>(n_),
                            static_cast<Eigen::Index>(design_.descriptors.size()));
    for (Eigen::Index j = 0; j < columns.cols(); ++j) {
      columns.col(j) = data_.shape.col(design_.descriptors[static_cast<std::size_t>(j)]);
    }
    return columns;
  }

  void standardise_columns() {
    Eigen::MatrixXd columns = shape_columns();
    int meter_only = 0;
    for (const int row : design_.rows) {
      const auto i = static_cast<std::size_t>(row);
      meter_only += !in_oven(i) && data_.metered(i) ? 1 : 0;
    }
    if ((declared() || meter_test_fired()) && meter_only >= kFewestMeterOnly) {
      Eigen::MatrixXd has_oven(static_cast<Eigen::Index>(n_), 1);
      for (std::size_t i = 0; i < n_; ++i) {
        has_oven(static_cast<Eigen::Index>(i), 0) = in_oven(i) ? 1.0 : 0.0;
      }
      if (constant_columns(has_oven, member_).empty()) {
        columns.conservativeResize(Eigen::NoChange, columns.cols() + 1);
        columns.rightCols(1) = has_oven;
        design_.has_oven_column = true;
        flag(BlockFlag::corrected_by_meter);
      }
    }
    design_.phase_one = standardise(columns, member_, design_.tree);
    if (design_.trees == 1 || design_.phase_one.trees == 1) {
      flag(BlockFlag::one_tree);
    }
  }

  void expect_slopes() {
    if (!options_.calibration || design_.outside_calibration || design_.descriptors.empty()) {
      return;
    }
    const CalibrationSlopes& calibration = *options_.calibration;
    const Eigen::Index size = design_.phase_one.x.cols();
    ExpectedSlopes expected{Eigen::VectorXd::Zero(size),
                            kHasOvenVariance * Eigen::MatrixXd::Identity(size, size)};
    for (std::size_t j = 0; j < design_.descriptors.size(); ++j) {
      const auto column = static_cast<Eigen::Index>(j);
      expected.mean[column] = calibration.slopes[design_.descriptors[j]];
      for (std::size_t i = 0; i < design_.descriptors.size(); ++i) {
        expected.covariance(static_cast<Eigen::Index>(i), column) =
            calibration.slopes_covariance(design_.descriptors[i], design_.descriptors[j]);
      }
    }
    const auto scale = design_.phase_one.sd.asDiagonal();
    expected.mean = (scale * expected.mean).eval();
    expected.covariance = (scale * expected.covariance * scale).eval();
    design_.expected = expected;
  }

  void judge_selection() {
    const bool with_shape = !design_.descriptors.empty();
    const bool by_meter = declared() || meter_test_fired();
    const bool put_right_by_shape = options_.picked_by_shape_only && with_shape;
    design_.selection_not_corrected =
        !design_.has_oven_column &&
        ((by_meter && !put_right_by_shape) || (shape_test_fired() && !with_shape));
  }

  const BlockData& data_;
  const BlockOptions& options_;
  std::size_t n_;
  BlockDesign design_;
  std::vector<bool> photographed_;
  /// In the random sample with a shape; without shape: in the random sample.
  std::vector<bool> member_;
  int members_ = 0;
  bool refused_ = false;
};

}  // namespace

BlockDesign design_block(const BlockData& data, const BlockOptions& options) {
  return Designer(data, options).design();
}

}  // namespace maturity
