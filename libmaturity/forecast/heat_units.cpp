#include "libmaturity/forecast/heat_units.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <numbers>
#include <sstream>
#include <utility>

#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

constexpr double kHottestCelsius = 60.0;
constexpr double kFahrenheitThreshold = 35.0;
constexpr double kColdest = -90.0;

constexpr std::array<std::pair<HeatMethod, std::string_view>, 6> kMethods{
    {{HeatMethod::simple_average, "simple_average"},
     {HeatMethod::clamped, "clamped"},
     {HeatMethod::reflected, "reflected"},
     {HeatMethod::four_case, "four_case"},
     {HeatMethod::single_triangle, "single_triangle"},
     {HeatMethod::single_sine, "single_sine"}}};
constexpr std::array<std::pair<HeatCutoff, std::string_view>, 3> kCutoffs{
    {{HeatCutoff::horizontal, "horizontal"},
     {HeatCutoff::intermediate, "intermediate"},
     {HeatCutoff::vertical, "vertical"}}};

bool has_cutoffs(HeatMethod method) {
  return method == HeatMethod::single_triangle || method == HeatMethod::single_sine;
}

void check_recipe(const HeatRecipe& recipe) {
  if (!std::isfinite(recipe.lower)) {
    reject_argument("lower", recipe.lower, "a finite threshold");
  }
  if (recipe.upper && !(*recipe.upper > recipe.lower && std::isfinite(*recipe.upper))) {
    reject_argument("upper", *recipe.upper, "above lower");
  }
  if (!recipe.upper && recipe.method == HeatMethod::reflected) {
    reject_argument("upper", "missing", "an upper threshold with the method reflected");
  }
  if (recipe.cutoff != HeatCutoff::horizontal) {
    if (!has_cutoffs(recipe.method)) {
      reject_argument("cutoff", name(recipe.cutoff),
                      "horizontal, or the method single_triangle or single_sine");
    }
    if (!recipe.upper) {
      reject_argument("cutoff", name(recipe.cutoff), "an upper threshold with it");
    }
  }
}

/// Mean excess over a threshold, and the share of the day above it.
struct Excess {
  double degrees = 0.0;
  double share = 0.0;
};

Excess excess_of_triangle(double tmin, double tmax, double threshold) {
  if (tmin >= threshold) {
    return {(tmin + tmax) / 2.0 - threshold, 1.0};
  }
  if (tmax <= threshold) {
    return {};
  }
  const double share = (tmax - threshold) / (tmax - tmin);
  return {share * (tmax - threshold) / 2.0, share};
}

Excess excess_of_sine(double tmin, double tmax, double threshold) {
  const double mean = (tmin + tmax) / 2.0;
  if (tmin >= threshold) {
    return {mean - threshold, 1.0};
  }
  if (tmax <= threshold) {
    return {};
  }
  const double amplitude = (tmax - tmin) / 2.0;
  const double crossing = std::asin((threshold - mean) / amplitude);
  const double above = std::numbers::pi / 2.0 - crossing;
  return {((mean - threshold) * above + amplitude * std::cos(crossing)) / std::numbers::pi,
          above / std::numbers::pi};
}

double with_cutoff(const Excess& lower, const Excess& upper, HeatCutoff cutoff, double span) {
  switch (cutoff) {
    case HeatCutoff::horizontal:
      return lower.degrees - upper.degrees;
    case HeatCutoff::intermediate:
      return lower.degrees - 2.0 * upper.degrees;
    case HeatCutoff::vertical:
      return lower.degrees - upper.degrees - span * upper.share;
  }
  return 0.0;
}

double four_cases(double tmin, double tmax, double lower) {
  const double mean = (tmin + tmax) / 2.0;
  if (tmin > lower) {
    return mean - lower;
  }
  if (tmax < lower) {
    return 0.0;
  }
  return mean > lower ? (tmax - lower) / 2.0 - (lower - tmin) / 4.0 : (tmax - lower) / 4.0;
}

double day_of(double tmin, double tmax, const HeatRecipe& recipe) {
  const double lower = recipe.lower;
  switch (recipe.method) {
    case HeatMethod::simple_average:
      return (tmin + tmax) / 2.0 - lower;
    case HeatMethod::clamped: {
      const double top = recipe.upper.value_or(std::max(tmax, lower));
      return (std::clamp(tmin, lower, top) + std::clamp(tmax, lower, top)) / 2.0 - lower;
    }
    case HeatMethod::reflected: {
      const double top = recipe.upper.value();
      return (tmin + (tmax > top ? 2.0 * top - tmax : tmax)) / 2.0 - lower;
    }
    case HeatMethod::four_case:
      return four_cases(tmin, tmax, lower);
    case HeatMethod::single_triangle:
    case HeatMethod::single_sine: {
      const auto excess =
          recipe.method == HeatMethod::single_sine ? excess_of_sine : excess_of_triangle;
      const Excess above = recipe.upper ? excess(tmin, tmax, *recipe.upper) : Excess{};
      return with_cutoff(excess(tmin, tmax, lower), above, recipe.cutoff,
                         recipe.upper.value_or(lower) - lower);
    }
  }
  return 0.0;
}

}  // namespace

std::string_view name(HeatMethod method) {
  return std::find_if(kMethods.begin(), kMethods.end(),
                      [&](const auto& each) { return each.first == method; })
      ->second;
}

HeatMethod heat_method(std::string_view name) {
  const auto* const found = std::find_if(kMethods.begin(), kMethods.end(),
                                         [&](const auto& each) { return each.second == name; });
  if (found == kMethods.end()) {
    reject_argument("method", name,
                    "simple_average, clamped, reflected, four_case, single_triangle or "
                    "single_sine");
  }
  return found->first;
}

std::string_view name(HeatCutoff cutoff) {
  return std::find_if(kCutoffs.begin(), kCutoffs.end(),
                      [&](const auto& each) { return each.first == cutoff; })
      ->second;
}

HeatCutoff heat_cutoff(std::string_view name) {
  const auto* const found = std::find_if(kCutoffs.begin(), kCutoffs.end(),
                                         [&](const auto& each) { return each.second == name; });
  if (found == kCutoffs.end()) {
    reject_argument("cutoff", name, "horizontal, intermediate or vertical");
  }
  return found->first;
}

std::string_view name(TemperatureProblem problem) {
  switch (problem) {
    case TemperatureProblem::missing:
      return "missing";
    case TemperatureProblem::min_above_max:
      return "min_above_max";
    case TemperatureProblem::looks_fahrenheit:
      return "looks_fahrenheit";
    case TemperatureProblem::impossible:
      return "impossible";
  }
  return "";
}

std::string_view sentence(TemperatureProblem problem) {
  switch (problem) {
    case TemperatureProblem::missing:
      return "a temperature is missing";
    case TemperatureProblem::min_above_max:
      return "the lowest temperature is above the highest";
    case TemperatureProblem::looks_fahrenheit:
      return "above 60 degrees C: this looks like Fahrenheit";
    case TemperatureProblem::impossible:
      return "below -90 degrees: no such day";
  }
  return "";
}

std::optional<TemperatureProblem> temperature_problem(double tmin, double tmax, double lower) {
  if (!std::isfinite(tmin) || !std::isfinite(tmax)) {
    return TemperatureProblem::missing;
  }
  if (tmin > tmax) {
    return TemperatureProblem::min_above_max;
  }
  if (tmin < kColdest) {
    return TemperatureProblem::impossible;
  }
  if (tmax > kHottestCelsius && lower < kFahrenheitThreshold) {
    return TemperatureProblem::looks_fahrenheit;
  }
  return std::nullopt;
}

double degree_days(double tmin, double tmax, double lower, std::optional<double> upper,
                   HeatMethod method, HeatCutoff cutoff) {
  const HeatRecipe recipe{method, cutoff, lower, upper};
  check_recipe(recipe);
  const auto problem = temperature_problem(tmin, tmax, lower);
  if (problem) {
    std::ostringstream value;
    value << tmin << " and " << tmax << " (" << sentence(*problem) << ")";
    reject_argument("tmin, tmax", value.str(),
                    "a lowest and a highest temperature in the scale of the thresholds");
  }
  return std::max(0.0, day_of(tmin, tmax, recipe));
}

HeatSum sum_degree_days(const std::vector<WeatherDay>& weather, int first, int last,
                        const HeatRecipe& recipe) {
  check_recipe(recipe);
  if (first > last) {
    reject_argument("first", first, "a day not after the last, " + std::to_string(last));
  }
  std::map<int, WeatherDay> by_day;
  for (const WeatherDay& each : weather) {
    if (!by_day.emplace(each.day, each).second) {
      reject_argument("weather, day", each.day, "each day once");
    }
  }
  HeatSum sum;
  for (int day = first; day <= last; ++day) {
    const auto found = by_day.find(day);
    if (found == by_day.end() ||
        temperature_problem(found->second.tmin, found->second.tmax, recipe.lower)) {
      ++sum.missing_days;
      sum.first_missing = sum.first_missing.value_or(day);
      continue;
    }
    sum.of_known_days += std::max(0.0, day_of(found->second.tmin, found->second.tmax, recipe));
  }
  if (sum.missing_days == 0) {
    sum.degree_days = sum.of_known_days;
  }
  return sum;
}

std::optional<std::string> target_mismatch(const HeatTarget& target, std::string_view start_stage,
                                           const HeatRecipe& recipe) {
  const auto differs = [](std::string_view what, const auto& has, const auto& is) {
    std::ostringstream text;
    text << what << " of the target is " << has << ", of the sum " << is;
    return text.str();
  };
  if (target.start_stage.empty() || target.start_stage != start_stage) {
    return differs("start stage",
                   target.start_stage.empty() ? std::string("not stated") : target.start_stage,
                   start_stage);
  }
  if (target.recipe.method != recipe.method) {
    return differs("method", name(target.recipe.method), name(recipe.method));
  }
  if (target.recipe.cutoff != recipe.cutoff) {
    return differs("cut-off", name(target.recipe.cutoff), name(recipe.cutoff));
  }
  if (target.recipe.lower != recipe.lower) {
    return differs("lower threshold", target.recipe.lower, recipe.lower);
  }
  if (target.recipe.upper != recipe.upper) {
    const auto shown = [](const std::optional<double>& upper) {
      std::ostringstream text;
      upper ? text << *upper : text << "none";
      return text.str();
    };
    return differs("upper threshold", shown(target.recipe.upper), shown(recipe.upper));
  }
  return std::nullopt;
}

}  // namespace maturity
