#include "libmaturity/field/sequential_looks.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <limits>

#include "libmaturity/readiness/named_text.h"
#include "libmaturity/stats/normal.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

constexpr std::size_t kGridPoints = 1001;
// Paths further than this many SD below 0 count for nothing.
constexpr double kLowestSd = 9.0;
constexpr double kHighestBound = 12.0;
// A sum of weights may miss 0 or 1 by its last bits.
constexpr double kRounding = 1e-9;
// Below this nothing is spent.
constexpr double kLeastSpent = 1e-15;

constexpr std::array<NamedText, 4> kVerdicts{{
    {"ready", "Enough: the rule is met at the confidence asked for."},
    {"not_yet", "Enough: the rule is not met yet. Come back at the next visit."},
    {"go_on", "Go on: walk the next round."},
    {"undecided",
     "The planned walk is used up and does not settle it. More trees now, because the result was "
     "not clear, would say ready too often: plan the next visit."},
}};

/// Paths that have crossed no bound so far, as a density of the sum on an even grid.
class OpenPaths {
 public:
  /// Chance that the next sum, `step` of the walk later, lies above `limit`.
  double chance_above(double limit, double step) const {
    const double sd = std::sqrt(step);
    if (weight_.empty()) {
      return normal_cdf(-limit / sd);
    }
    double chance = 0.0;
    for (std::size_t i = 0; i < weight_.size(); ++i) {
      chance += weight_[i] * normal_cdf((place_[i] - limit) / sd);
    }
    return chance;
  }

  /// Goes `step` on, to `time`; what lies above `limit` has stopped.
  void advance(double step, double time, double limit) {
    const double sd = std::sqrt(step);
    const double low = -kLowestSd * std::sqrt(time);
    const double high = std::min(limit, kLowestSd * std::sqrt(time));
    const double width = (high - low) / static_cast<double>(kGridPoints - 1);
    std::vector<double> place(kGridPoints);
    std::vector<double> weight(kGridPoints);
    for (std::size_t i = 0; i < kGridPoints; ++i) {
      place[i] = low + width * static_cast<double>(i);
      double here = 0.0;
      if (weight_.empty()) {
        here = normal_density(place[i] / sd) / sd;
      } else {
        for (std::size_t j = 0; j < weight_.size(); ++j) {
          here += weight_[j] * normal_density((place[i] - place_[j]) / sd) / sd;
        }
      }
      // Simpson's rule: an even number of steps.
      const bool at_end = i == 0 || i + 1 == kGridPoints;
      weight[i] = here * width / 3.0 * (at_end ? 1.0 : (i % 2 == 1 ? 4.0 : 2.0));
    }
    place_ = place;
    weight_ = weight;
  }

 private:
  std::vector<double> place_;
  std::vector<double> weight_;
};

/// Bound on the sum that stops paths with this chance.
double bound_for(const OpenPaths& paths, double step, double time, double chance) {
  double low = -kHighestBound * std::sqrt(time);
  double high = kHighestBound * std::sqrt(time);
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (low + high);
    (paths.chance_above(middle, step) > chance ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

}  // namespace

std::string_view name(LookVerdict verdict) {
  return kVerdicts.at(static_cast<std::size_t>(verdict)).name;
}
std::string_view sentence(LookVerdict verdict) {
  return kVerdicts.at(static_cast<std::size_t>(verdict)).sentence;
}

double spent_error(double fraction, double error) {
  if (!(fraction > 0.0 && fraction <= 1.0)) {
    reject_argument("fraction", fraction, "above 0 and at most 1");
  }
  if (!(error > 0.0 && error < 0.5)) {
    reject_argument("error", error, "between 0 and 0.5");
  }
  return 2.0 * normal_cdf(normal_quantile(error / 2.0) / std::sqrt(fraction));
}

std::vector<double> look_bounds(const std::vector<double>& fraction, double error) {
  OpenPaths paths;
  std::vector<double> bounds;
  double time = 0.0;
  double spent = 0.0;
  for (const double next : fraction) {
    if (!(next > time)) {
      reject_argument("fraction", next, "more of the plan than at the look before");
    }
    const double may_spend = spent_error(next, error) - spent;
    double limit = std::numeric_limits<double>::infinity();
    if (may_spend > kLeastSpent) {
      limit = bound_for(paths, next - time, next, may_spend);
      spent += may_spend;
    }
    bounds.push_back(limit / std::sqrt(next));
    if (bounds.size() < fraction.size()) {
      paths.advance(next - time, next, limit);
    }
    time = next;
  }
  return bounds;
}

Look judge_look(double readiness, double fraction, const std::vector<double>& earlier,
                double confidence) {
  if (!(readiness >= -kRounding && readiness <= 1.0 + kRounding)) {
    reject_argument("readiness", readiness, "a chance within 0 to 1 (not in 100)");
  }
  if (!(confidence > 0.5 && confidence < 0.999)) {
    reject_argument("confidence", confidence, "between 0.5 and 0.999");
  }
  std::vector<double> all = earlier;
  all.push_back(fraction);
  Look look;
  look.fraction = fraction;
  look.needed = normal_cdf(look_bounds(all, 1.0 - confidence).back());
  look.spent = spent_error(fraction, 1.0 - confidence) / (1.0 - confidence);
  if (readiness >= look.needed) {
    look.verdict = LookVerdict::ready;
  } else if (1.0 - readiness >= look.needed) {
    look.verdict = LookVerdict::not_yet;
  } else {
    look.verdict = fraction < 1.0 ? LookVerdict::go_on : LookVerdict::undecided;
  }
  return look;
}

}  // namespace maturity
