#include "libmaturity/picked/crew_check.h"

#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <cctype>
#include <cmath>
#include <cstddef>

#include "libmaturity/picked/crew_comparison.h"
#include "libmaturity/picked/crew_scores.h"
#include "libmaturity/stats/proportion.h"
#include "libmaturity/stats/reject_argument.h"
#include "libmaturity/stats/shrinkage.h"

namespace maturity {

namespace {

constexpr int kFewestSpareBins = 4;

std::string plain_name(const std::string& name) {
  std::string plain;
  for (const char letter : name) {
    if (std::isspace(static_cast<unsigned char>(letter)) == 0) {
      plain += static_cast<char>(std::tolower(static_cast<unsigned char>(letter)));
    }
  }
  return plain;
}

/// Variance of one crew's fruit over that of independent fruit, by the size of its bins.
double effect_of(double bin_size, double intraclass) { return 1.0 + (bin_size - 1.0) * intraclass; }

/// What the blocks, methods and days that a crew shared with others gave as a whole, of its fruit.
double expected_beside(const CrewShare& crew) {
  return crew.expected - (crew.found - crew.own_share.value() * crew.own_checked);
}

/// `effects`: see effect_of, in the order of `crews`.
void rank_crews(std::vector<CrewShare>& crews, const std::vector<double>& effects) {
  double expected = 0.0;
  double checked = 0.0;
  for (const CrewShare& crew : crews) {
    if (crew.own_share) {
      expected += expected_beside(crew);
      checked += crew.own_checked;
    }
  }
  const double level = checked > 0.0 ? expected / checked : 0.0;
  // Half a fruit keeps the common share off 0 and 1, where no crew would have an error.
  const double share = (expected + 0.5) / (checked + 1.0);
  std::vector<CrewShare*> ranked;
  std::vector<double> shares;
  std::vector<double> errors;
  for (std::size_t c = 0; c < crews.size(); ++c) {
    if (crews[c].own_share) {
      ranked.push_back(&crews[c]);
      // A crew that came on the bad days only is held against those days.
      const double gap = *crews[c].own_share - expected_beside(crews[c]) / crews[c].own_checked;
      shares.push_back(std::clamp(level + gap, 0.0, 1.0));
      errors.push_back(share * (1.0 - share) * effects[c] / crews[c].own_checked);
    }
  }
  if (ranked.size() < 2) {
    return;
  }
  const Shrinkage shrunk = shrink_values(shares, errors);
  for (std::size_t c = 0; c < ranked.size(); ++c) {
    ranked[c]->shrunk_share = shrunk.values[c].value;
    ranked[c]->shrunk_se = shrunk.values[c].standard_error;
  }
}

/// Factor on the number of fruit for a design effect known from few bins only.
double few_bins_factor(double level, int spare_bins) {
  const double tail = 0.5 * (1.0 - level);
  const double normal = boost::math::quantile(boost::math::complement(boost::math::normal(), tail));
  if (spare_bins < 1) {
    return 1.0;
  }
  const double student =
      boost::math::quantile(boost::math::complement(boost::math::students_t(spare_bins), tail));
  return normal * normal / (student * student);
}

void check_options(const CrewOptions& options) {
  if (!(options.level > 0.0 && options.level < 1.0)) {
    reject_argument("level", options.level, "within 0 to 1");
  }
  if (!(options.false_alarm > 0.0 && options.false_alarm < 1.0)) {
    reject_argument("false_alarm", options.false_alarm, "within 0 to 1");
  }
  if (options.shuffles < 1) {
    reject_argument("shuffles", options.shuffles, "at least 1");
  }
  if (!(options.assumed_intraclass >= 0.0 && options.assumed_intraclass <= 1.0)) {
    reject_argument("assumed_intraclass", options.assumed_intraclass, "within 0 to 1");
  }
}

WholeShare whole_share(const std::vector<CrewShare>& crews) {
  WholeShare whole;
  for (const CrewShare& crew : crews) {
    whole.bins += crew.bins;
    whole.checked += crew.checked;
    whole.found += crew.found;
  }
  whole.share = static_cast<double>(whole.found) / whole.checked;
  return whole;
}

bool one_place(const std::vector<BinCheck>& checks) {
  return std::all_of(checks.begin(), checks.end(), [&](const BinCheck& each) {
    return each.block == checks.front().block && each.method == checks.front().method;
  });
}

}  // namespace

std::string_view name(CannotTell reason) {
  switch (reason) {
    case CannotTell::too_few_fruit:
      return "too_few_fruit";
    case CannotTell::one_bin:
      return "one_bin";
    case CannotTell::nobody_to_compare:
      return "nobody_to_compare";
    case CannotTell::other_days:
      return "other_days";
    case CannotTell::bins_not_told:
      return "bins_not_told";
    case CannotTell::days_not_told:
      return "days_not_told";
  }
  return "";
}

std::string_view sentence(CannotTell reason) {
  switch (reason) {
    case CannotTell::too_few_fruit:
      return "too few fruit looked at to tell a difference from chance: check more";
    case CannotTell::one_bin:
      return "only one bin looked at: it may be the bin, not the crew; check another";
    case CannotTell::nobody_to_compare:
      return "no other crew worked in the same block with the same method and was judged in the "
             "same "
             "way";
    case CannotTell::other_days:
      return "the other crews of the same block and method worked on other days: a difference may "
             "be that of the days";
    case CannotTell::bins_not_told:
      return "a difference if every fruit stood for itself, but bins vary, and too few of them are "
             "told apart to be sure: name the bins, look into more of them";
    case CannotTell::days_not_told:
      return "a difference by its bins, but not on every day alike: it may be the trees of those "
             "days; check on more days";
  }
  return "";
}

std::string_view name(ComparedBy way) {
  switch (way) {
    case ComparedBy::shuffled_bins:
      return "shuffled_bins";
    case ComparedBy::bin_spread:
      return "bin_spread";
    case ComparedBy::assumed_spread:
      return "assumed_spread";
  }
  return "";
}

Bounds clustered_interval(double found, double checked, double design_effect, int spare_bins,
                          double level) {
  if (!(design_effect >= 1.0)) {
    reject_argument("design_effect", design_effect, "at least 1");
  }
  const double left = few_bins_factor(level, spare_bins) / design_effect;
  return proportion_interval(found * left, checked * left, level);
}

CrewComparison compare_crews(const std::vector<BinCheck>& checks, const CrewOptions& options) {
  check_options(options);
  check_bins(checks);
  CrewComparison result;
  if (checks.empty()) {
    return result;
  }
  const NumberedBins bins = number_bins(checks);
  const BinDispersion dispersion = bin_dispersion(bins);
  result.spare_bins = dispersion.degrees;
  double intraclass = options.assumed_intraclass;
  int told_by = 0;
  if (dispersion.degrees >= kFewestSpareBins) {
    result.design_effect = std::max(1.0, dispersion.ratio);
    told_by = dispersion.degrees;
    intraclass = intraclass_of(*result.design_effect, mean_bin_size(bins));
  }
  const CrewVerdicts verdicts =
      judge_crews(checks, result.design_effect, result.spare_bins, options);
  result.compared_by = verdicts.compared_by;
  std::vector<double> effects;
  for (const CrewVerdict& verdict : verdicts.crews) {
    CrewShare crew;
    crew.crew = verdict.crew;
    for (const BinCheck& each : checks) {
      if (each.crew == crew.crew) {
        ++crew.bins;
        crew.checked += each.checked;
        crew.found += each.found;
      }
    }
    crew.share = static_cast<double>(crew.found) / crew.checked;
    crew.wilson = proportion_interval(crew.found, crew.checked, options.level);
    crew.clopper_pearson = proportion_interval(crew.found, crew.checked, options.level,
                                               ProportionMethod::clopper_pearson);
    const double size = mean_bin_size(bins, result.crews.size());
    effects.push_back(effect_of(size, intraclass));
    crew.interval =
        clustered_interval(crew.found, crew.checked, effects.back(), told_by, options.level);
    crew.expected = verdict.expected;
    crew.own_share = verdict.own_share;
    crew.own_checked = verdict.own_checked;
    crew.others_share = verdict.others_share;
    crew.own_days = verdict.own_days;
    crew.days_above = verdict.days_above;
    crew.days_below = verdict.days_below;
    crew.p_value = verdict.p_value;
    crew.differs = verdict.differs;
    crew.reason = verdict.reason;
    for (const CrewShare& earlier : result.crews) {
      if (plain_name(earlier.crew) == plain_name(crew.crew)) {
        result.similar_names.emplace_back(earlier.crew, crew.crew);
      }
    }
    result.crews.push_back(crew);
  }
  const double effect = result.design_effect.value_or(effect_of(mean_bin_size(bins), intraclass));
  result.whole = whole_share(result.crews);
  result.whole->interval = clustered_interval(result.whole->found, result.whole->checked, effect,
                                              told_by, options.level);
  if (one_place(checks)) {
    rank_crews(result.crews, effects);
  }
  return result;
}

}  // namespace maturity
