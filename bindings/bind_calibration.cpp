#include <cstdint>

#include "bindings/intervals.h"
#include "libmaturity/calibration/agreement.h"
#include "libmaturity/calibration/calibration_json.h"
#include "libmaturity/calibration/meter_fit.h"
#include "libmaturity/readiness/block_data.h"

namespace maturity::bindings {

namespace {

std::vector<CalibrationOutcome> all_outcomes() {
  return {CalibrationOutcome::usable, CalibrationOutcome::no_usable_information,
          CalibrationOutcome::cannot_tell};
}

}  // namespace

template <>
struct Shown<CalibrationOutcome> : NamedState<CalibrationOutcome, all_outcomes> {};

namespace {

void bind_clustered_agreement(py::module_& module) {
  using A = ClusteredAgreement;
  Fields<A>(module, "ClusteredAgreement",
            "Agreement to expect of fruit of another block (visit, season): each counts once.")
      .field("clusters", &A::clusters, "Blocks, visits or seasons drawn.")
      .field("bias", &A::bias, "Mean of their mean errors.")
      .field("bias_interval", &A::bias_interval, "95 % interval (low, high).")
      .field("bias_significant", &A::bias_significant, "The interval leaves out 0.")
      .field("sep", &A::sep, "SD of the error of a fruit of any of them about the bias.")
      .field("sep_interval", &A::sep_interval, "95 % interval (low, high).")
      .field("rmsep", &A::rmsep, "Root mean squared error, bias included.")
      .field("rmsep_interval", &A::rmsep_interval, "95 % interval (low, high).")
      .field("slope", &A::slope, "Of the reference on the predicted values, all fruit.")
      .field("slope_interval", &A::slope_interval, "95 % interval; None: cannot be told.")
      .field("slope_significant", &A::slope_significant, "The interval leaves out 1.")
      .field("r_squared", &A::r_squared, "Squared correlation, all fruit.")
      .field("r_squared_interval", &A::r_squared_interval, "95 % interval; None: cannot be told.")
      .field("rpd_sep", &A::rpd_sep, "SD of the reference over sep.")
      .field("rpd_sep_interval", &A::rpd_sep_interval, "95 % interval (low, high).")
      .finish();
}

void bind_meter_fit(py::module_& module) {
  using B = BlockBias;
  Fields<B>(module, "BlockBias", "Bias of a meter in one block, %.")
      .field("block", &B::block, "Block and visit.")
      .field("pairs", &B::pairs, "Fruit with oven and meter.")
      .field("bias", &B::bias, "Meter minus oven.")
      .field("standard_error", &B::standard_error, "From the error pooled over blocks.")
      .finish();
  using S = MeterSlope;
  Fields<S>(module, "MeterSlope", "Change of a reading for 1 % of oven dry matter, within blocks.")
      .field("blocks", &S::blocks, "Blocks and visits that it rests on.")
      .field("mean", &S::mean, "Mean slope.")
      .field("standard_error", &S::standard_error, "Of the mean slope.")
      .field("estimated_between_block_sd", &S::estimated_between_block_sd,
             "SD between blocks and visits, by moments.")
      .field("between_block_sd", &S::between_block_sd, "The same as used: drawn to that of meters.")
      .field("new_block_sd", &S::new_block_sd, "What the slope of another block may be off by, SD.")
      .finish();
  using L = LeftOutReadings;
  Fields<L>(module, "LeftOutReadings", "Readings with bias and slope of other blocks taken out.")
      .field("folds", &L::folds, "Blocks or seasons left out in turn.")
      .field("agreement", &L::agreement, "All fruit; taken as independent.")
      .field("ranges", &L::ranges, "For another block or season; None: too few to tell.")
      .finish();
  using M = MeterFit;
  Fields<M>(module, "MeterFit", "One instrument and setting against the oven.")
      .field("overall", &M::overall, "All pairs together, taken as independent.")
      .field("by_block", &M::by_block, "For another block; None: fewer than 3.")
      .field("by_season", &M::by_season, "For another season; None: fewer than 3.")
      .field("blocks", &M::blocks, "Bias of each block.")
      .field("within_block_sep", &M::within_block_sep,
             "Error once the bias of each block and the slope are out, %; None: too few.")
      .field("within_block_fruit", &M::within_block_fruit, "Fruit that it rests on.")
      .field("bias_sd_between_blocks", &M::bias_sd_between_blocks,
             "How much the bias differs between blocks, %; None: a single block.")
      .field("slope", &M::slope, "Change of the reading; None: too few.")
      .field("corrected_by_fold", &M::corrected_by_fold,
             "Corrected by the line of other blocks; None: a single block.")
      .field("corrected_by_season", &M::corrected_by_season,
             "Corrected by the line of other seasons; None: a single season.")
      .finish();
  module.def(
      "fit_meter",
      [](std::vector<std::string> block, std::vector<double> oven, std::vector<double> meter,
         std::vector<std::string> fold, std::vector<std::string> season) {
        return fit_meter({std::move(block), std::move(oven), std::move(meter), std::move(fold),
                          std::move(season)});
      },
      py::kw_only(), py::arg("block"), py::arg("oven"), py::arg("meter"),
      py::arg("fold") = std::vector<std::string>(), py::arg("season") = std::vector<std::string>(),
      "Error and bias of a meter from fruit read by both; NaN: not read.");
}

void bind_shape_calibration(py::module_& module) {
  using S = CalibrationSource;
  Fields<S>(module, "CalibrationSource", "Where a calibration comes from.")
      .field("cultivar", &S::cultivar, "Cultivar.")
      .field("first_date", &S::first_date, "First picking date of the fruit.")
      .field("last_date", &S::last_date, "Last picking date of the fruit.")
      .field("provenance", &S::provenance, "In the user's words.")
      .finish();
  using G = ReferenceRange;
  Fields<G>(module, "ReferenceRange", "Baseline of a group of fruit: their descriptors.")
      .field("group", &G::group, "Block and visit.")
      .field("members", &G::members, "Fruit behind it.")
      .field("mean", &G::mean, "Of each descriptor.")
      .field("covariance", &G::covariance, "Between the fruit.")
      .finish();
  using R = RangeComparison;
  Fields<R>(module, "RangeComparison", "How fruit lie in a baseline.")
      .field("outside", &R::outside, "Their mean, or more than a tenth of them, lies outside.")
      .field("distance", &R::distance, "Of their mean (Mahalanobis).")
      .field("limit", &R::limit, "Beyond which a mean lies outside.")
      .field("share_beyond", &R::share_beyond, "Share of the fruit far outside.")
      .field("off_sd", &R::off_sd, "Their mean less the baseline's, in its SD, by descriptor.")
      .finish();
  using V = ShapeValidation;
  Fields<V>(module, "ShapeValidation", "Shape judged on seasons left out in turn.")
      .field("folds", &V::folds, "Seasons left out in turn.")
      .field("within_r_squared", &V::within_r_squared,
             "Share of the variance within blocks predicted from the others.")
      .field("p_value", &V::p_value, "Chance of as much with dry matter shuffled.")
      .field("new_block", &V::new_block, "As predicted.")
      .field("after_local_mean", &V::after_local_mean,
             "After the visit's mean is put right by its other fruit.")
      .field("new_block_ranges", &V::new_block_ranges, "For another season; None: fewer than 3.")
      .field("after_local_mean_ranges", &V::after_local_mean_ranges, "The same.")
      .finish();
  using C = ShapeCalibration;
  Fields<C> fields(module, "ShapeCalibration", "What shape says of dry matter in one cultivar.");
  fields.field("id", &C::id, "Hash of its content.")
      .field("library_version", &C::library_version, "Library that made it.")
      .field("method_version", &C::method_version, "Measuring method of the shapes.")
      .field("source", &C::source, "Where it comes from.")
      .field("names", &C::names, "Descriptors.")
      .field("slopes", &C::slopes, "% per raw unit of each.")
      .field("slopes_covariance", &C::slopes_covariance, "What a new block's may be off by.")
      .field("between_block_sd", &C::between_block_sd, "Of that, the spread between blocks.")
      .field("shape_mean", &C::shape_mean, "Of the fruit seen: the range of validity.")
      .field("shape_covariance", &C::shape_covariance, "Between the fruit seen.")
      .field("format", &C::format, "Of its file.")
      .field("block_baselines", &C::block_baselines, "The same of each block and visit.")
      .field("fruit", &C::fruit, "Fruit used.")
      .field("blocks", &C::blocks, "Blocks and visits used.")
      .field("left_out", &C::left_out, "Fruit left out.")
      .field("residual_sd", &C::residual_sd, "Within blocks about the slopes, %.")
      .field("not_selected", &C::not_selected, "Descriptors left out by the rule.")
      .field("outcome", &C::outcome, "What came of it (name).")
      .field("folds", &C::folds, "Blocks or seasons left out in turn.")
      .field("within_r_squared", &C::within_r_squared,
             "Share of the variance within blocks predicted from other blocks.")
      .field("p_value", &C::p_value, "Chance of as much with dry matter shuffled.")
      .field("new_block", &C::new_block, "Left-out blocks as predicted.")
      .field("after_local_mean", &C::after_local_mean,
             "After the visit's mean is put right by its other fruit.")
      .field("new_block_ranges", &C::new_block_ranges, "For another block; None: fewer than 3.")
      .field("after_local_mean_ranges", &C::after_local_mean_ranges, "The same.")
      .field("by_season", &C::by_season, "Seasons left out in turn; None: a single one.");
  fields.finish()
      .def_property_readonly(
          "outcome_sentence", [](const C& self) { return std::string(sentence(self.outcome)); },
          "The outcome in a sentence.")
      .def(
          "compare",
          [](const C& self, const Eigen::MatrixXd& shape) {
            return compare_with_range({"", self.fruit, self.shape_mean, self.shape_covariance},
                                      shape);
          },
          py::arg("shape"), "How fruit (n, p) lie in the range of shapes that it holds for.")
      .def(
          "block_distances",
          [](const C& self, const Eigen::MatrixXd& shape) {
            return distances_to_groups(self.block_baselines, shape);
          },
          py::arg("shape"),
          "Distance of their mean from each of block_baselines; empty: cannot be told.")
      .def("to_json", &calibration_to_json, "As stored; every number to the last bit.");
  module.def(
      "calibrate_shape",
      [](std::vector<std::string> names, std::vector<std::string> block,
         std::vector<std::string> fold, Eigen::MatrixXd shape, std::vector<double> oven,
         std::string cultivar, std::string first_date, std::string last_date,
         std::string provenance, int permutations, std::uint64_t seed,
         std::vector<std::string> season) {
        CrossValidationOptions options;
        options.permutations = permutations;
        options.seed = seed;
        const py::gil_scoped_release release;
        return calibrate_shape({std::move(names), std::move(block), std::move(fold),
                                std::move(shape), std::move(oven), std::move(season)},
                               {std::move(cultivar), std::move(first_date), std::move(last_date),
                                std::move(provenance)},
                               options);
      },
      py::kw_only(), py::arg("names"), py::arg("block"), py::arg("fold"), py::arg("shape"),
      py::arg("oven"), py::arg("cultivar"), py::arg("first_date"), py::arg("last_date"),
      py::arg("provenance"), py::arg("permutations"), py::arg("seed"),
      py::arg("season") = std::vector<std::string>(),
      "Slopes of oven dry matter on shape within blocks, judged by leaving out whole folds.");
  module.def("calibration_from_json", &calibration_from_json, py::arg("text"),
             "Reads a stored calibration; refuses one that was changed by hand.");
}

}  // namespace

void bind_calibration(py::module_& module) {
  using A = Agreement;
  Fields<A>(module, "Agreement",
            "How predictions agree with a reference; error = predicted - reference.")
      .field("pairs", &A::pairs, "Pairs used.")
      .field("left_out", &A::left_out, "Pairs with a missing value.")
      .field("bias", &A::bias, "Mean error: positive reads too high.")
      .field("bias_interval", &A::bias_interval, "95 % interval (low, high).")
      .field("bias_limit", &A::bias_limit, "Largest bias that chance explains, 95 %.")
      .field("bias_significant", &A::bias_significant, "Bias beyond that limit.")
      .field("rmsep", &A::rmsep, "Root mean squared error, bias included.")
      .field("rmsep_interval", &A::rmsep_interval, "95 % interval (low, high).")
      .field("sep", &A::sep, "Standard deviation of the error, bias taken out.")
      .field("sep_interval", &A::sep_interval, "95 % interval (low, high).")
      .field("slope", &A::slope, "Of the reference on the predicted values.")
      .field("intercept", &A::intercept, "Of the same line.")
      .field("slope_interval", &A::slope_interval, "95 % interval (low, high).")
      .field("residual_sd", &A::residual_sd, "About that line.")
      .field("slope_t", &A::slope_t, "Distance of the slope from 1 over its standard error.")
      .field("slope_t_limit", &A::slope_t_limit, "Its 97.5 % t quantile.")
      .field("slope_significant", &A::slope_significant, "Slope differs from 1.")
      .field("r_squared", &A::r_squared, "Squared correlation.")
      .field("r_squared_interval", &A::r_squared_interval, "95 % interval (low, high).")
      .field("r_squared_identity", &A::r_squared_identity, "1 - SSE/SST; can be negative.")
      .field("reference_sd", &A::reference_sd, "Standard deviation of the reference.")
      .field("rpd_sep", &A::rpd_sep, "reference_sd / sep.")
      .field("rpd_rmsep", &A::rpd_rmsep, "reference_sd / rmsep.")
      .field("rpd_sep_interval", &A::rpd_sep_interval, "95 % interval (low, high).")
      .finish();
  module.def("agreement", &agreement, py::arg("reference"), py::arg("predicted"),
             "See maturity.agreement.");
  bind_clustered_agreement(module);
  bind_meter_fit(module);
  bind_shape_calibration(module);
  module.def(
      "calibration_slopes",
      [](const std::string& text, const std::string& cultivar,
         const std::vector<std::string>& names, bool allow_other_cultivar) {
        const ShapeCalibration c = calibration_from_json(text);
        check_calibration_fits(c, cultivar, names, allow_other_cultivar);
        return CalibrationSlopes{
            c.id,         c.names,           c.method_version, c.slopes, c.slopes_covariance,
            c.shape_mean, c.shape_covariance};
      },
      py::arg("text"), py::kw_only(), py::arg("cultivar"), py::arg("names"),
      py::arg("allow_other_cultivar") = false,
      "Slopes of a stored calibration (JSON text), refused for another cultivar unless allowed, "
      "other descriptors or another measuring method.");
}

}  // namespace maturity::bindings
