#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace maturity {

/// How a day's degree-days are made of its lowest and highest temperature. M is their mean.
enum class HeatMethod {
  /// max(0, M - lower); no upper threshold (READ: Iowa State Agron 541, UC IPM).
  simple_average,
  /// Both temperatures moved into lower..upper first (READ: uspest.org "modified").
  clamped,
  /// A highest temperature above upper is folded back by what it exceeds (READ: Heliyon 2020
  /// 6(10):e05114, a general form).
  reflected,
  /// Four cases by where lower lies between the temperatures; no upper threshold (READ: Met
  /// Eireann).
  four_case,
  /// A straight rise and fall through the day (Sevacherian et al. 1977, J. Econ. Entomol. 70:399).
  single_triangle,
  /// A sine through the day (Baskerville and Emin 1969, Ecology 50:514).
  single_sine
};
std::string_view name(HeatMethod method);
HeatMethod heat_method(std::string_view name);

/// What the hours above upper count, for triangle and sine.
enum class HeatCutoff {
  /// As if they were at upper.
  horizontal,
  /// One degree less for each degree above upper.
  intermediate,
  /// Nothing.
  vertical
};
std::string_view name(HeatCutoff cutoff);
HeatCutoff heat_cutoff(std::string_view name);

/// Everything that makes degree-days what they are, besides the weather.
struct HeatRecipe {
  HeatMethod method = HeatMethod::single_sine;
  HeatCutoff cutoff = HeatCutoff::horizontal;
  double lower = 0.0;
  std::optional<double> upper;
};

/// What is wrong with a day's temperatures.
enum class TemperatureProblem {
  missing,
  min_above_max,
  /// Above 60 beside a threshold in degrees C: hotter than any place on earth; Fahrenheit?
  looks_fahrenheit,
  /// Below -90.
  impossible
};
std::string_view name(TemperatureProblem problem);
std::string_view sentence(TemperatureProblem problem);

/// Empty when the day can be used with this lower threshold. Temperatures and thresholds must be of
/// one scale; those in Fahrenheit pass where the threshold, at 35 or more, is Fahrenheit too.
std::optional<TemperatureProblem> temperature_problem(double tmin, double tmax, double lower);

/// Degree-days of one day, >= 0, in the degrees of its temperatures. Throws std::invalid_argument
/// naming argument, value and rule for a temperature_problem, lower not below upper, a missing
/// upper where the method needs one (reflected; a cut-off other than horizontal), or a cut-off
/// other than horizontal with a method that has none.
double degree_days(double tmin, double tmax, double lower, std::optional<double> upper,
                   HeatMethod method, HeatCutoff cutoff = HeatCutoff::horizontal);

/// One day of weather; missing temperatures are NaN.
struct WeatherDay {
  int day = 0;
  double tmin = 0.0;
  double tmax = 0.0;
};

/// Degree-days over days first..last (both included).
struct HeatSum {
  /// Empty when a day is missing or unusable: a gap is never filled by a guess.
  std::optional<double> degree_days;
  /// Sum of the days that could be used, and how many could not.
  double of_known_days = 0.0;
  int missing_days = 0;
  /// The first of them.
  std::optional<int> first_missing;
};

/// Adds up the days. Weather in any order. Throws std::invalid_argument for first > last, a day
/// given twice, or a recipe that degree_days would refuse.
HeatSum sum_degree_days(const std::vector<WeatherDay>& weather, int first, int last,
                        const HeatRecipe& recipe);

/// A target is worth something only with the stage it starts at and the recipe that produced it.
struct HeatTarget {
  double degree_days = 0.0;
  std::string start_stage;
  HeatRecipe recipe;
};

/// Empty when a sum by `recipe` from `start_stage` may be held against the target; else what
/// differs, in words.
std::optional<std::string> target_mismatch(const HeatTarget& target, std::string_view start_stage,
                                           const HeatRecipe& recipe);

}  // namespace maturity
