#include "bindings/bind_heat.h"
#include "bindings/fields.h"
#include "libmaturity/forecast/date_range.h"
#include "libmaturity/forecast/gain_forecast.h"
#include "libmaturity/forecast/heat_units.h"
#include "libmaturity/forecast/picking_days.h"

namespace maturity::bindings {

namespace {

std::vector<NotPlanned> all_not_planned() {
  return {NotPlanned::no_date, NotPlanned::not_cleared, NotPlanned::no_crew_days};
}

std::vector<NoDate> all_no_dates() {
  return {NoDate::one_visit, NoDate::not_rising, NoDate::beyond_horizon};
}

}  // namespace

template <>
struct Shown<NoDate> : NamedState<NoDate, all_no_dates> {};

template <>
struct Shown<NotPlanned> : NamedState<NotPlanned, all_not_planned> {};

namespace {

void bind_picking(py::module_& module) {
  using B = PickingBlock;
  Fields<B>(module, "PickingBlock", "A block that waits to be picked; days in any one count.")
      .field("block", &B::block, "Block.")
      .field("ready_day", &B::ready_day, "Day from which it meets its rule; None: no date.")
      .field("clear_day", &B::clear_day, "First cleared day; None: not known.")
      .field("crew_days", &B::crew_days, "Work, crews times days.")
      .field("last_day", &B::last_day, "Last day on which it should be picked, or None.")
      .finish()
      .def(
          py::init([](std::string block, std::optional<int> ready_day, std::optional<int> clear_day,
                      double crew_days, std::optional<int> last_day) {
            return B{std::move(block), ready_day, clear_day, crew_days, last_day};
          }),
          py::kw_only(), py::arg("block"), py::arg("ready_day"), py::arg("clear_day"),
          py::arg("crew_days"), py::arg("last_day"));
  using T = PickingTurn;
  Fields<T>(module, "PickingTurn", "Picking days of a block.")
      .field("block", &T::block, "Block.")
      .field("free_from", &T::free_from, "First day on which it may be picked.")
      .field("start", &T::start, "First picking day.")
      .field("finish", &T::finish, "Last picking day.")
      .field("waits", &T::waits, "Days it waits for crews.")
      .field("slack", &T::slack, "Days left before its last day; below 0: it slips.")
      .field("not_planned", &T::not_planned, "Why it has no days (name).")
      .finish()
      .def_property_readonly(
          "not_planned_sentence",
          [](const T& self) {
            return self.not_planned ? std::optional<std::string>(sentence(*self.not_planned))
                                    : std::nullopt;
          },
          "The same in words.");
  module.def("plan_picking", &plan_picking, py::arg("blocks"), py::kw_only(), py::arg("crews"),
             py::arg("first_day"), "Blocks one after the other by the day they may be picked.");
}

}  // namespace

void bind_forecast(py::module_& module) {
  using F = GainForecast;
  Fields<F> fields(module, "Forecast", "A straight line through the visits, with uncertainty.");
  fields.field("level", &F::level, "At the last visit, %.")
      .field("level_sd", &F::level_sd, "Its standard deviation, %.")
      .field("gain_per_week", &F::gain_per_week, "% per week; None: one visit and none given.")
      .field("gain_sd", &F::gain_sd, "Its standard deviation.")
      .field("earliest_day", &F::earliest_day,
             "First whole day when the chance reaches the confidence; None: see no_date.")
      .field("no_date", &F::no_date, "Why there is no date (name).")
      .field("minimum_dm_pct", &F::minimum_dm_pct, "Minimum, %.")
      .field("confidence", &F::confidence, "Probability asked for, 0..1.")
      .field("last_day", &F::last_day, "Day of the last visit.")
      .field("horizon_days", &F::horizon_days, "Days searched after it.")
      .field("covariance", &F::covariance, "Of level and gain, (2,2).");
  fields.finish()
      .def("probability", &F::probability, py::arg("day"),
           "Chance (0..1) that the minimum is reached on a day; None without a gain.")
      .def(
          "level_on",
          [](const F& self, double day) {
            const auto then = self.level_on(day);
            return then ? std::optional<std::pair<double, double>>({then->mean, then->sd})
                        : std::nullopt;
          },
          py::arg("day"), "(mean, SD) of what the rule looks at on a day, %; None without a gain.")
      .def_property_readonly(
          "no_date_sentence",
          [](const F& self) {
            return self.no_date ? std::optional<std::string>(sentence(*self.no_date))
                                : std::nullopt;
          },
          "Why there is no date, in a sentence.")
      .def(
          "date_range",
          [](const F& self, double level) {
            using Days = std::pair<std::optional<int>, std::optional<int>>;
            const auto range = date_range(self, level);
            return range ? std::optional<Days>({range->from, range->until}) : std::nullopt;
          },
          py::arg("level"),
          "(from, until), days between which the rule comes to be met; an end that is None is "
          "beyond the horizon. None: no gain, or not rising.");
  bind_picking(module);
  bind_heat(module);
  module.def(
      "forecast_readiness",
      [](const std::vector<double>& days, const std::vector<double>& psi,
         const std::vector<double>& psi_sd, double minimum_dm_pct, double confidence,
         double shared_sd, std::optional<std::pair<double, double>> stated_gain, int horizon_days) {
        ForecastOptions options;
        options.confidence = confidence;
        options.shared_sd = shared_sd;
        if (stated_gain) {
          options.stated_gain = StatedGain{stated_gain->first, stated_gain->second};
        }
        options.horizon_days = horizon_days;
        const py::gil_scoped_release release;
        return forecast_readiness(days, psi, psi_sd, minimum_dm_pct, options);
      },
      py::arg("days"), py::arg("psi"), py::arg("psi_sd"), py::kw_only(), py::arg("minimum_dm_pct"),
      py::arg("confidence"), py::arg("shared_sd"), py::arg("stated_gain"), py::arg("horizon_days"),
      "See maturity.forecast_readiness.");
  module.def(
      "degree_days",
      [](double tmin, double tmax, double lower, std::optional<double> upper,
         const std::string& method, const std::string& cutoff) {
        return degree_days(tmin, tmax, lower, upper, heat_method(method), heat_cutoff(cutoff));
      },
      py::arg("tmin_c"), py::arg("tmax_c"), py::kw_only(), py::arg("lower"), py::arg("upper"),
      py::arg("method"), py::arg("cutoff"), "See maturity.degree_days.");
}

}  // namespace maturity::bindings
