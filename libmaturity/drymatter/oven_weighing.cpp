#include "libmaturity/drymatter/oven_weighing.h"

#include <cmath>
#include <sstream>

#include "libmaturity/drymatter/dm_range.h"
#include "libmaturity/drymatter/oven_error.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

constexpr double kPercent = 100.0;

std::optional<WeighingProblem> problem_before_drying(double dish, double fresh) {
  if (!std::isfinite(dish) || !std::isfinite(fresh) || !(dish > 0.0)) {
    return WeighingProblem::not_a_weight;
  }
  return fresh > dish ? std::nullopt : std::optional(WeighingProblem::fresh_not_above_dish);
}

std::optional<WeighingProblem> problem_of(double dish, double fresh, double dried) {
  const auto before = problem_before_drying(dish, fresh);
  if (before) {
    return before;
  }
  if (!std::isfinite(dried)) {
    return WeighingProblem::not_a_weight;
  }
  if (dried < dish) {
    return WeighingProblem::dried_below_dish;
  }
  return dried > fresh ? std::optional(WeighingProblem::dried_above_fresh) : std::nullopt;
}

std::string_view rule_of(WeighingProblem problem) {
  switch (problem) {
    case WeighingProblem::not_a_weight:
      return "weights above 0 g";
    case WeighingProblem::fresh_not_above_dish:
      return "dish with fresh sample heavier than the dish";
    case WeighingProblem::dried_below_dish:
      return "dish with dried sample at least as heavy as the dish";
    case WeighingProblem::dried_above_fresh:
      return "dish with dried sample no heavier than with the fresh one";
    case WeighingProblem::not_a_fruit:
      return "3 to 40 % dry matter";
  }
  return "";
}

std::string weights_text(const OvenWeighing& weighing) {
  std::ostringstream text;
  text << "dish " << weighing.dish_g << " g, with fresh sample " << weighing.dish_fresh_g << " g";
  if (weighing.dish_dried_g) {
    text << ", with dried sample " << *weighing.dish_dried_g << " g";
  }
  return text.str();
}

OvenReading impossible(const OvenWeighing& weighing, WeighingProblem problem) {
  OvenReading reading;
  reading.problem = problem;
  reading.sentence =
      weights_text(weighing) + "; expected " + std::string(rule_of(problem)) + ": weigh again";
  return reading;
}

}  // namespace

std::string_view name(WeighingProblem problem) {
  switch (problem) {
    case WeighingProblem::not_a_weight:
      return "not_a_weight";
    case WeighingProblem::fresh_not_above_dish:
      return "fresh_not_above_dish";
    case WeighingProblem::dried_below_dish:
      return "dried_below_dish";
    case WeighingProblem::dried_above_fresh:
      return "dried_above_fresh";
    case WeighingProblem::not_a_fruit:
      return "not_a_fruit";
  }
  return "";
}

std::string_view name(OvenState state) {
  switch (state) {
    case OvenState::dry:
      return "dry";
    case OvenState::still_drying:
      return "still_drying";
    case OvenState::impossible:
      return "impossible";
  }
  return "";
}

double dry_matter_pct(double dish_g, double dish_fresh_g, double dish_dried_g) {
  const auto problem = problem_of(dish_g, dish_fresh_g, dish_dried_g);
  if (problem) {
    const OvenWeighing weighing{dish_g, dish_fresh_g, dish_dried_g, std::nullopt};
    reject_argument("dish_g, dish_fresh_g, dish_dried_g", weights_text(weighing),
                    rule_of(*problem));
  }
  return kPercent * (dish_dried_g - dish_g) / (dish_fresh_g - dish_g);
}

OvenReading read_oven(const OvenWeighing& weighing, double repeat_sd_pct) {
  const auto before = problem_before_drying(weighing.dish_g, weighing.dish_fresh_g);
  if (before) {
    return impossible(weighing, *before);
  }
  if (!weighing.dish_dried_g) {
    OvenReading reading;
    reading.state = OvenState::still_drying;
    return reading;
  }
  const auto after = problem_of(weighing.dish_g, weighing.dish_fresh_g, *weighing.dish_dried_g);
  if (after) {
    return impossible(weighing, *after);
  }
  const double dm = dry_matter_pct(weighing.dish_g, weighing.dish_fresh_g, *weighing.dish_dried_g);
  if (dm < kLowestDmPct || dm > kHighestDmPct) {
    return impossible(weighing, WeighingProblem::not_a_fruit);
  }
  OvenReading reading;
  reading.state = OvenState::dry;
  reading.dm_pct = dm;
  const double fresh = weighing.dish_fresh_g - weighing.dish_g;
  reading.error_sd_pct = weighing.balance_step_g
                             ? oven_error_sd_pct(*weighing.balance_step_g, fresh, repeat_sd_pct)
                             : repeat_sd_pct;
  return reading;
}

}  // namespace maturity
