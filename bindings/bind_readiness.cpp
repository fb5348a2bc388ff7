#include <cmath>
#include <limits>

#include "bindings/block_question.h"
#include "bindings/intervals.h"
#include "libmaturity/readiness/block_estimate.h"
#include "libmaturity/readiness/meter_slope.h"
#include "libmaturity/readiness/more_samples.h"
#include "libmaturity/readiness/tree_sums.h"

namespace maturity::bindings {

namespace {

std::vector<Decision> all_decisions() {
  return {Decision::ready, Decision::not_yet, Decision::sample_more};
}

std::vector<PlanOutcome> all_plan_outcomes() {
  return {PlanOutcome::plan, PlanOutcome::cannot_settle, PlanOutcome::settled,
          PlanOutcome::too_few_to_plan};
}

}  // namespace

template <>
struct Shown<PlanOutcome> : NamedState<PlanOutcome, all_plan_outcomes> {};
template <>
struct Shown<Decision> : NamedState<Decision, all_decisions> {};
template <>
struct Shown<BlockFlag> : NamedState<BlockFlag, all_block_flags> {};
template <>
struct Shown<BlockReason> : NamedState<BlockReason, all_block_reasons> {};

template <>
struct Shown<MeanSd> {
  static py::object out(const MeanSd& value) { return py::make_tuple(value.mean, value.sd); }
  static MeanSd in(py::handle shown) {
    const auto [mean, sd] = shown.cast<std::pair<double, double>>();
    return {mean, sd};
  }
};

namespace {

/// A row per fruit of the input; NaN where it cannot be told.
py::object fruit_frame(const BlockEstimate& estimate) {
  const double missing = std::numeric_limits<double>::quiet_NaN();
  std::vector<double> mean;
  std::vector<double> sd;
  std::vector<double> low;
  std::vector<double> high;
  std::vector<bool> average;
  for (const auto& fruit : estimate.fruit) {
    mean.push_back(fruit.mean_dm_pct.value_or(missing));
    sd.push_back(fruit.sd_pct.value_or(missing));
    low.push_back(fruit.interval ? fruit.interval->low : missing);
    high.push_back(fruit.interval ? fruit.interval->high : missing);
    average.push_back(fruit.about_block_average);
  }
  py::dict columns;
  columns["mean"] = Shown<std::vector<double>>::out(mean);
  columns["sd"] = Shown<std::vector<double>>::out(sd);
  columns["low"] = Shown<std::vector<double>>::out(low);
  columns["high"] = Shown<std::vector<double>>::out(high);
  columns["about_block_average"] = average;
  return py::module_::import("pandas").attr("DataFrame")(columns);
}

template <class State>
std::vector<std::string> sentences_of(const std::vector<State>& states) {
  std::vector<std::string> texts;
  texts.reserve(states.size());
  for (const State state : states) {
    texts.emplace_back(sentence(state));
  }
  return texts;
}

void bind_parts(py::module_& module) {
  Fields<BlockCounts>(module, "BlockCounts", "How many fruit and trees went into an estimate.")
      .field("fruit", &BlockCounts::fruit, "Fruit in the estimate.")
      .field("trees", &BlockCounts::trees, "Trees in the estimate.")
      .field("phase_one_fruit", &BlockCounts::phase_one_fruit,
             "Fruit of the random sample that stand for the block.")
      .field("phase_one_trees", &BlockCounts::phase_one_trees, "Their trees.")
      .field("oven_fruit", &BlockCounts::oven_fruit, "Fruit with an oven value.")
      .field("oven_trees", &BlockCounts::oven_trees, "Their trees.")
      .field("meter_fruit", &BlockCounts::meter_fruit, "Fruit with a meter reading.")
      .field("meter_only_fruit", &BlockCounts::meter_only_fruit, "Of these, without an oven value.")
      .field("left_out_without_photo", &BlockCounts::left_out_without_photo,
             "Fruit left out because shape is used and they have none.")
      .finish();
  Fields<SlopeEstimate>(module, "SlopeEstimate",
                        "Change of dry matter with one descriptor, the others held; (mean, sd).")
      .field("name", &SlopeEstimate::name, "Descriptor.")
      .field("per_sd", &SlopeEstimate::per_sd, "% per standard deviation in this block.")
      .field("per_unit", &SlopeEstimate::per_unit, "% per raw unit of the descriptor.")
      .finish();
  Fields<FruitEstimate>(module, "FruitEstimate", "True dry matter of one fruit, %.")
      .field("mean_dm_pct", &FruitEstimate::mean_dm_pct, "Mean, %.")
      .field("sd_pct", &FruitEstimate::sd_pct, "Standard deviation, %.")
      .field("interval", &FruitEstimate::interval, "95 % interval (low, high).")
      .field("about_block_average", &FruitEstimate::about_block_average,
             "True when neither a reading nor the shape says more than the block does.")
      .finish();
  Fields<BlockRule>(module, "BlockRule", "The user's policy.")
      .field("minimum_dm_pct", &BlockRule::minimum_dm_pct, "Minimum, % of fresh weight.")
      .field("required_share", &BlockRule::required_share, "Share asked for, 0..1.")
      .field("kind", &BlockRule::kind, R"("share" or "mean".)")
      .field("confidence", &BlockRule::confidence, "Probability asked for, 0..1.")
      .finish();
}

/// mean, sd, interval, about_block_average of each fruit; NaN: not known.
py::object packed_fruit(const std::vector<FruitEstimate>& fruit) {
  constexpr double kUnknown = std::numeric_limits<double>::quiet_NaN();
  py::array_t<double> packed({static_cast<py::ssize_t>(fruit.size()), py::ssize_t{5}});
  auto cells = packed.mutable_unchecked<2>();
  for (py::ssize_t row = 0; row < packed.shape(0); ++row) {
    const auto& one = fruit[static_cast<std::size_t>(row)];
    cells(row, 0) = one.mean_dm_pct.value_or(kUnknown);
    cells(row, 1) = one.sd_pct.value_or(kUnknown);
    cells(row, 2) = one.interval ? one.interval->low : kUnknown;
    cells(row, 3) = one.interval ? one.interval->high : kUnknown;
    cells(row, 4) = one.about_block_average ? 1.0 : 0.0;
  }
  return packed;
}

std::vector<FruitEstimate> unpacked_fruit(py::handle packed) {
  const auto array = packed.cast<py::array_t<double>>();
  const auto cells = array.unchecked<2>();
  const auto known = [](double value) {
    return std::isnan(value) ? std::optional<double>() : std::optional(value);
  };
  std::vector<FruitEstimate> fruit(static_cast<std::size_t>(array.shape(0)));
  for (py::ssize_t row = 0; row < array.shape(0); ++row) {
    auto& one = fruit[static_cast<std::size_t>(row)];
    one.mean_dm_pct = known(cells(row, 0));
    one.sd_pct = known(cells(row, 1));
    if (!std::isnan(cells(row, 2))) {
      one.interval = Interval{cells(row, 2), cells(row, 3)};
    }
    one.about_block_average = cells(row, 4) != 0.0;
  }
  return fruit;
}

void bind_estimate(py::module_& module) {
  using E = BlockEstimate;
  Fields<E> fields(module, "BlockEstimate",
                   "What is known of a block's dry matter against a rule; None: cannot be told.");
  fields.field("rule", &E::rule, "The rule asked about.")
      .field("decision", &E::decision, R"("ready", "not_yet" or "sample_more".)")
      .field("readiness", &E::readiness, "0..100: chances in 100 that the rule is met.")
      .field("share_mature", &E::share_mature, "Share at or above the minimum (median), 0..1.")
      .field("share_interval", &E::share_interval, "95 % interval (low, high).")
      .field("share_interval_80", &E::share_interval_80, "80 % interval (low, high).")
      .field("mean_dm_pct", &E::mean_dm_pct, "Mean dry matter, % of fresh weight.")
      .field("mean_dm_sd", &E::mean_dm_sd, "Its standard deviation.")
      .field("mean_dm_interval", &E::mean_dm_interval, "95 % interval (low, high).")
      .field("mean_dm_interval_80", &E::mean_dm_interval_80, "80 % interval (low, high).")
      .field("reasons", &E::reasons, "Why the decision is what it is (names).")
      .field("flags", &E::flags, "What is doubtful or particular (names).")
      .field("psi_mean", &E::psi_mean, "Dry matter that the required share reaches, %.")
      .field("psi_sd", &E::psi_sd, "Its standard deviation.")
      .field("spread_sd", &E::spread_sd, "Standard deviation of dry matter between fruit, %.")
      .field("spread_sd_se", &E::spread_sd_se, "How well that is known, %.")
      .field("tree_variance", &E::tree_variance, "Variance between trees, squared %.")
      .field("fruit_variance", &E::fruit_variance, "Variance within trees, squared %.")
      .field("shape_variance", &E::shape_variance, "Variance that shape explains, squared %.")
      .field("shape_r_squared", &E::shape_r_squared, "Share of variance that shape explains.")
      .field("p_noshape", &E::p_noshape, "Probability that shape says nothing here.")
      .field("meter_bias", &E::meter_bias, "Meter minus truth, % (mean, sd).")
      .field("further_meter_bias", &E::further_meter_bias,
             "The same of each further meter, in the order given (mean, sd).")
      .field("meter_slope", &E::meter_slope,
             "Change of the reading per 1 % of dry matter (mean, sd); None where taken for exact.")
      .field("slopes", &E::slopes, "Change of dry matter with each descriptor.")
      .packed_field("fruit_estimates", &E::fruit, "A FruitEstimate for each fruit of the input.",
                    &packed_fruit, &unpacked_fruit)
      .field("counts", &E::counts, "How many fruit and trees were used.")
      .field("p_selection_by_shape", &E::p_selection_by_shape,
             "P-value: were oven fruit picked by shape?")
      .field("p_selection_by_meter", &E::p_selection_by_meter,
             "P-value: were oven fruit picked by dry matter?")
      .field("residual_skewness", &E::residual_skewness, "Skewness of the oven residuals.")
      .field("robust", &E::robust, "True when slopes were left almost free.")
      .field("calibration_id", &E::calibration_id, "Calibration given.")
      .field("calibration_used", &E::calibration_used, "False when it had to be ignored.")
      .field("dropped_descriptors", &E::dropped_descriptors, "Descriptors without spread.");
  fields.finish()
      .def_property_readonly("fruit", &fruit_frame,
                             "Data frame, a row per fruit: mean, sd, low, high (95 %), "
                             "about_block_average; % of fresh weight.")
      .def_property_readonly(
          "reason_sentences", [](const E& self) { return sentences_of(self.reasons); },
          "The reasons in plain sentences.")
      .def(
          "fruit_estimate", [](const E& self, std::size_t place) { return self.fruit.at(place); },
          py::arg("place"), "The FruitEstimate of one fruit of the input.")
      .def_property_readonly(
          "flag_sentences", [](const E& self) { return sentences_of(self.flags); },
          "The flags in plain sentences.");
}

void bind_plan(py::module_& module) {
  using P = SamplePlan;
  Fields<P> fields(module, "SamplePlan", "What more to sample; trees, photos, oven are additions.");
  fields.field("outcome", &P::outcome, "What came of it (name).")
      .field("trees", &P::trees, "New trees.")
      .field("photos", &P::photos, "New photographed fruit.")
      .field("oven", &P::oven, "New oven readings.")
      .field("cost", &P::cost, "In the unit of the costs given.")
      .field("p_settle", &P::p_settle, "Chance that it is then ready or not yet, 0..1.")
      .field("sd_after", &P::sd_after, "Standard deviation expected after it, %.");
  fields.finish().def_property_readonly(
      "outcome_sentence", [](const P& self) { return std::string(sentence(self.outcome)); },
      "The outcome in a sentence.");
  module.def(
      "more_samples",
      [](const BlockEstimate& estimate, double cost_tree, double cost_photo, double cost_oven,
         double settle) {
        const py::gil_scoped_release release;
        return more_samples(estimate, SamplingCosts{cost_tree, cost_photo, cost_oven}, settle);
      },
      py::arg("estimate"), py::kw_only(), py::arg("cost_tree"), py::arg("cost_photo"),
      py::arg("cost_oven"), py::arg("settle"), "See maturity.more_samples.");
}

}  // namespace

void bind_readiness(py::module_& module) {
  bind_parts(module);
  bind_estimate(module);
  bind_plan(module);
  module.attr("most_meters") = kMostMeters;
  module.attr("meter_slope_guess") = kMeterSlopeGuess;
  module.attr("meter_slope_guess_sd") = kMeterSlopeGuessSd;
  module.attr("meter_sep_guess") = kMeterSepGuess;
  module.attr("meter_sep_guess_fruit") = kMeterSepGuessFruit;
  module.def(
      "estimate_block",
      [](const BlockQuestion& question) {
        const py::gil_scoped_release release;
        return estimate_block(question.data, question.rule, question.options);
      },
      py::arg("question"), "See maturity.estimate_block.");
}

}  // namespace maturity::bindings
