#include "bindings/fields.h"
#include "libmaturity/drymatter/constant_mass.h"
#include "libmaturity/drymatter/duplicates.h"
#include "libmaturity/drymatter/meter_reading.h"
#include "libmaturity/drymatter/oven_method.h"
#include "libmaturity/drymatter/oven_weighing.h"

namespace maturity::bindings {

namespace {

std::vector<OvenState> all_oven_states() {
  return {OvenState::dry, OvenState::still_drying, OvenState::impossible};
}

std::vector<WeighingProblem> all_weighing_problems() {
  return {WeighingProblem::not_a_weight, WeighingProblem::fresh_not_above_dish,
          WeighingProblem::dried_below_dish, WeighingProblem::dried_above_fresh,
          WeighingProblem::not_a_fruit};
}

std::vector<DryingState> all_drying_states() {
  return {DryingState::finished, DryingState::still_losing, DryingState::cannot_tell,
          DryingState::gained};
}

}  // namespace

template <>
struct Shown<DryingState> : NamedState<DryingState, all_drying_states> {};
template <>
struct Shown<OvenState> : NamedState<OvenState, all_oven_states> {};
template <>
struct Shown<WeighingProblem> : NamedState<WeighingProblem, all_weighing_problems> {};

void bind_drymatter(py::module_& module) {
  Fields<OvenReading>(module, "OvenReading", "Dry matter of one sample, or why there is none.")
      .field("state", &OvenReading::state, "dry, still_drying or impossible.")
      .field("dm_pct", &OvenReading::dm_pct, "% of fresh weight; None unless dry.")
      .field("error_sd_pct", &OvenReading::error_sd_pct, "Standard deviation of its error, %.")
      .field("problem", &OvenReading::problem, "What is impossible (name).")
      .field("sentence", &OvenReading::sentence, "The same in words, with the weights.")
      .finish();
  Fields<Duplicates>(module, "Duplicates", "Replicates of one sample drawn together.")
      .field("mean_pct", &Duplicates::mean_pct, "Mean, %.")
      .field("apart_pct", &Duplicates::apart_pct, "Largest less smallest, %.")
      .field("too_far_apart", &Duplicates::too_far_apart, "Further apart than the limit.")
      .field("error_sd_pct", &Duplicates::error_sd_pct, "Error of the mean, %.")
      .field("readings", &Duplicates::readings, "How many.")
      .finish();
  Fields<MeterValue>(module, "MeterValue", "Readings of one fruit with one instrument and setting.")
      .field("fruit", &MeterValue::fruit, "Fruit.")
      .field("meter", &MeterValue::meter, "Instrument.")
      .field("setting", &MeterValue::setting, "Its setting.")
      .field("dm_pct", &MeterValue::dm_pct, "Mean, %; the instrument's bias is in it.")
      .field("readings", &MeterValue::readings, "How many.")
      .field("repeat_se_pct", &MeterValue::repeat_se_pct, "Standard error of repeating, %.")
      .finish();
  Fields<DryingResult>(module, "DryingResult", "Whether a sample has dried to constant mass.")
      .field("state", &DryingResult::state, "finished, still_losing, cannot_tell or gained.")
      .field("dish_dried_g", &DryingResult::dish_dried_g, "Last weight once finished, g.")
      .field("last_loss_g", &DryingResult::last_loss_g, "Loss from the last weighing but one, g.")
      .finish()
      .def_property_readonly(
          "sentence", [](const DryingResult& self) { return std::string(sentence(self.state)); },
          "The state in words.");
  module.def(
      "judge_drying",
      [](const std::vector<double>& hours, const std::vector<double>& dish_sample_g,
         double within_g, int agreeing, double hours_apart) {
        if (hours.size() != dish_sample_g.size()) {
          throw py::value_error("dish_sample_g: expected one weight for each hour");
        }
        std::vector<DryingWeight> weighings;
        for (std::size_t i = 0; i < hours.size(); ++i) {
          weighings.push_back({hours[i], dish_sample_g[i]});
        }
        return judge_drying(weighings, {within_g, agreeing, hours_apart});
      },
      py::arg("hours"), py::arg("dish_sample_g"), py::kw_only(), py::arg("within_g"),
      py::arg("agreeing"), py::arg("hours_apart"), "See maturity.judge_drying.");
  module.def(
      "oven_method_doubts",
      [](const std::string& dryer, std::optional<double> temperature_c,
         std::optional<double> hours) {
        OvenMethod method;
        method.dryer = dryer;
        method.temperature_c = temperature_c;
        method.hours = hours;
        std::vector<std::string> sentences;
        for (const MethodDoubt doubt : doubts(method)) {
          sentences.emplace_back(sentence(doubt));
        }
        return sentences;
      },
      py::arg("dryer"), py::arg("temperature_c"), py::arg("hours"),
      "What to look at in the way samples were dried, in sentences.");
  module.def("fruit_error_sd_pct", &fruit_error_sd_pct, py::arg("cheek_error_sd_pct"),
             py::arg("cheek_sd"), "Error of a fruit that is the mean of its cheeks, %.");
  using Way = std::tuple<std::string, std::optional<double>, std::optional<bool>>;
  module.def(
      "comparable_ways",
      [](const Way& one, const Way& other) {
        const auto method = [](const Way& way) {
          OvenMethod result;
          std::tie(result.dryer, result.temperature_c, result.skin_on) = way;
          return result;
        };
        return comparable(method(one), method(other));
      },
      py::arg("one"), py::arg("other"),
      "Whether two ways of drying (dryer, degrees C, skin on) are the same.");
  module.attr("duplicate_limit_pct") = kDuplicateLimitPct;
  module.def("dry_matter_pct", &dry_matter_pct, py::arg("dish_g"), py::arg("dish_fresh_g"),
             py::arg("dish_dried_g"), "See maturity.dry_matter_pct.");
  module.def(
      "read_oven",
      [](double dish_g, double dish_fresh_g, std::optional<double> dish_dried_g,
         std::optional<double> balance_step_g) {
        return read_oven({dish_g, dish_fresh_g, dish_dried_g, balance_step_g});
      },
      py::arg("dish_g"), py::arg("dish_fresh_g"), py::arg("dish_dried_g"),
      py::arg("balance_step_g"), "One sample; impossible weights are a state, not an exception.");
  module.def("combine_duplicates", &combine_duplicates, py::arg("dm_pct"), py::arg("error_sd_pct"),
             py::arg("limit_pct") = kDuplicateLimitPct, "Replicates of one sample.");
  module.def(
      "cheek_sd_pct",
      [](const std::vector<std::pair<double, double>>& values, double error_sd_pct) {
        std::vector<CheekPair> pairs;
        pairs.reserve(values.size());
        for (const auto& [one, other] : values) {
          pairs.push_back({one, other});
        }
        return cheek_sd_pct(pairs, error_sd_pct);
      },
      py::arg("pairs"), py::arg("error_sd_pct"),
      "SD of one cheek about its fruit, %, from fruit read on both; None: fewer than 5.");
  module.def(
      "combine_meter_readings",
      [](const std::vector<std::tuple<std::string, std::string, std::string, double>>& rows) {
        std::vector<MeterReading> readings;
        readings.reserve(rows.size());
        for (const auto& [fruit, meter, setting, dm_pct] : rows) {
          readings.push_back({fruit, meter, setting, dm_pct});
        }
        return Shown<std::vector<MeterValue>>::out(combine_meter_readings(readings));
      },
      py::arg("rows"), "Rows (fruit, meter, setting, dm_pct) to one value for each fruit.");
}

}  // namespace maturity::bindings
