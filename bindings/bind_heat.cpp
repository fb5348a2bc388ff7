#include "bindings/bind_heat.h"

#include "bindings/fields.h"
#include "libmaturity/forecast/heat_forecast.h"
#include "libmaturity/forecast/target_range.h"

namespace maturity::bindings {

template <>
struct Shown<HeatPace> {
  static py::object out(const HeatPace& pace) {
    return py::make_tuple(pace.recent, pace.slowest, pace.fastest);
  }
  static HeatPace in(py::handle shown) {
    const auto [recent, slowest, fastest] = shown.cast<std::tuple<double, double, double>>();
    return {recent, slowest, fastest};
  }
};

template <>
struct Shown<DateRange> {
  static py::object out(const DateRange& range) {
    return py::make_tuple(range.level, range.from, range.until);
  }
  static DateRange in(py::handle shown) {
    const auto [level, from, until] =
        shown.cast<std::tuple<double, std::optional<int>, std::optional<int>>>();
    return {level, from, until};
  }
};

namespace {

using Days = std::vector<std::tuple<int, double, double>>;

std::vector<WeatherDay> weather_days(const Days& given) {
  std::vector<WeatherDay> weather;
  weather.reserve(given.size());
  for (const auto& [day, tmin, tmax] : given) {
    weather.push_back({day, tmin, tmax});
  }
  return weather;
}

struct Recipe {
  HeatRecipe recipe;
};

}  // namespace

void bind_heat(py::module_& module) {
  py::class_<Recipe>(module, "HeatRecipe", "What makes degree-days what they are.")
      .def(py::init([](const std::string& method, double lower, std::optional<double> upper,
                       const std::string& cutoff) {
             return Recipe{{heat_method(method), heat_cutoff(cutoff), lower, upper}};
           }),
           py::kw_only(), py::arg("method"), py::arg("lower"), py::arg("upper"),
           py::arg("cutoff") = "horizontal");
  using S = HeatSum;
  Fields<S>(module, "HeatSum", "Degree-days over a run of days.")
      .field("degree_days", &S::degree_days, "None: a day is missing.")
      .field("of_known_days", &S::of_known_days, "Sum of the days that could be used.")
      .field("missing_days", &S::missing_days, "How many could not.")
      .field("first_missing", &S::first_missing, "The first of them.")
      .finish();
  module.attr("LONGEST_TARGET_DAYS") = kLongestTargetDays;
  using T = TargetDay;
  Fields<T>(module, "TargetDay", "When a heat target is reached.")
      .field("so_far", &T::so_far, "Degree-days up to the last day of weather.")
      .field("target", &T::target, "Degree-days asked for.")
      .field("pace", &T::pace, "(recent, slowest, fastest), degree-days a day.")
      .field("days", &T::days, "Days to go at the recent pace; 0 or less: reached.")
      .field("days_fastest", &T::days_fastest, "At the fastest pace of the record.")
      .field("days_slowest", &T::days_slowest, "At the slowest; None: it stands still.")
      .field("range_80", &T::range_80, "(level, from, until), days to go; None: reached, or open.")
      .field("range_95", &T::range_95, "The same at 95 %.")
      .finish();
  using F = HeatForecast;
  Fields<F>(module, "HeatForecast", "A forecast along heat units.")
      .field("forecast", &F::forecast, "Forecast; days after the last visit are calendar days.")
      .field("pace", &F::pace, "(recent, slowest, fastest), degree-days a day.")
      .field("gain_per_100", &F::gain_per_100, "% per 100 degree-days.")
      .field("gain_per_100_sd", &F::gain_per_100_sd, "Its standard deviation.")
      .finish();
  module.def(
      "sum_degree_days",
      [](const Days& weather, int first, int last, const Recipe& recipe) {
        return sum_degree_days(weather_days(weather), first, last, recipe.recipe);
      },
      py::arg("weather"), py::arg("first"), py::arg("last"), py::arg("recipe"),
      "Degree-days of days first..last; weather is (day, tmin, tmax).");
  module.def(
      "day_of_target",
      [](const Days& weather, int first, int last, double target, const std::string& target_stage,
         const Recipe& target_recipe, const std::string& start_stage, const Recipe& recipe) {
        return day_of_target(weather_days(weather), first, last,
                             {target, target_stage, target_recipe.recipe}, start_stage,
                             recipe.recipe);
      },
      py::arg("weather"), py::arg("first"), py::arg("last"), py::kw_only(), py::arg("target"),
      py::arg("target_stage"), py::arg("target_recipe"), py::arg("start_stage"), py::arg("recipe"),
      "Days to a heat target; None: weather is missing. Another stage or recipe is refused.");
  module.def(
      "forecast_by_heat",
      [](const std::vector<int>& days, const std::vector<double>& psi,
         const std::vector<double>& psi_sd, const Days& weather, const Recipe& recipe,
         double minimum_dm_pct, double confidence, double shared_sd, int horizon_days) {
        ForecastOptions options;
        options.confidence = confidence;
        options.shared_sd = shared_sd;
        options.horizon_days = horizon_days;
        return forecast_by_heat(days, psi, psi_sd, minimum_dm_pct, weather_days(weather),
                                recipe.recipe, options);
      },
      py::arg("days"), py::arg("psi"), py::arg("psi_sd"), py::kw_only(), py::arg("weather"),
      py::arg("recipe"), py::arg("minimum_dm_pct"), py::arg("confidence"), py::arg("shared_sd"),
      py::arg("horizon_days"), "As forecast_readiness along heat units; None: weather is missing.");
}

}  // namespace maturity::bindings
