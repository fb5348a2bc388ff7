#include "libmaturity/picked/crew_check.h"

#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <cctype>
#include <cmath>
#include <cstddef>
#include <set>
#include <tuple>

#include "libmaturity/picked/crew_comparison.h"
#include "libmaturity/picked/crew_scores.h"
#include "libmaturity/stats/proportion.h"
#include "libmaturity/stats/reject_argument.h"
#include "libmaturity/stats/shrinkage.h"

namespace maturity {

namespace {

constexpr int kFewestSpareBins = 4;

void check(const std::vector<BinCheck>& checks) {
  std::set<std::tuple<std::string, std::string, std::string, std::string, std::string>> seen;
  for (std::size_t i = 0; i < checks.size(); ++i) {
    const BinCheck& each = checks[i];
    const std::string place = ", row " + std::to_string(i + 1);
    if (each.block.empty() || each.crew.empty()) {
      reject_argument("block, crew" + place, "blank", "the block and the crew named");
    }
    if (each.checked < 1) {
      reject_argument("checked" + place, each.checked, "at least 1 fruit looked at");
    }
    if (each.found < 0 || each.found > each.checked) {
      reject_argument("found" + place, each.found,
                      "0 to the number checked, " + std::to_string(each.checked));
    }
    if (!each.bin.empty() &&
        !seen.emplace(each.block, each.method, each.date, each.crew, each.bin).second) {
      reject_argument("bin" + place, each.bin, "each bin of a crew and day once");
    }
  }
}

std::string plain_name(const std::string& name) {
  std::string plain;
  for (const char letter : name) {
    if (std::isspace(static_cast<unsigned char>(letter)) == 0) {
      plain += static_cast<char>(std::tolower(static_cast<unsigned char>(letter)));
    }
  }
  return plain;
}

void rank_crews(std::vector<CrewShare>& crews, double design_effect) {
  double found = 0.0;
  double checked = 0.0;
  for (const CrewShare& crew : crews) {
    found += crew.found;
    checked += crew.checked;
  }
  // Half a fruit keeps the common share off 0 and 1, where no crew would have an error.
  const double share = (found + 0.5) / (checked + 1.0);
  std::vector<CrewShare*> ranked;
  std::vector<double> shares;
  std::vector<double> errors;
  for (CrewShare& crew : crews) {
    if (crew.own_share) {
      ranked.push_back(&crew);
      shares.push_back(*crew.own_share);
      errors.push_back(share * (1.0 - share) * design_effect / crew.own_checked);
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

WholeShare whole_share(const std::vector<CrewShare>& crews, double fruit_of_bins, double level) {
  WholeShare whole;
  for (const CrewShare& crew : crews) {
    whole.bins += crew.bins;
    whole.checked += crew.checked;
    whole.found += crew.found;
  }
  whole.share = static_cast<double>(whole.found) / whole.checked;
  whole.interval =
      proportion_interval(whole.found * fruit_of_bins, whole.checked * fruit_of_bins, level);
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

CrewComparison compare_crews(const std::vector<BinCheck>& checks, const CrewOptions& options) {
  check_options(options);
  check(checks);
  CrewComparison result;
  if (checks.empty()) {
    return result;
  }
  const NumberedBins bins = number_bins(checks);
  const BinDispersion dispersion = bin_dispersion(bins);
  result.spare_bins = dispersion.degrees;
  double known = 1.0;
  double intraclass = 0.0;
  if (dispersion.degrees >= kFewestSpareBins) {
    result.design_effect = std::max(1.0, dispersion.ratio);
    known = few_bins_factor(options.level, dispersion.degrees);
    intraclass = intraclass_of(*result.design_effect, mean_bin_size(bins));
  }
  const CrewVerdicts verdicts =
      judge_crews(checks, result.design_effect, result.spare_bins, options);
  result.compared_by = verdicts.compared_by;
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
    const double left = known / (1.0 + (size - 1.0) * intraclass);
    crew.interval = proportion_interval(crew.found * left, crew.checked * left, options.level);
    crew.expected = verdict.expected;
    crew.own_share = verdict.own_share;
    crew.own_checked = verdict.own_checked;
    crew.others_share = verdict.others_share;
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
  result.whole =
      whole_share(result.crews, known / result.design_effect.value_or(1.0), options.level);
  if (one_place(checks)) {
    rank_crews(result.crews, result.design_effect.value_or(1.0));
  }
  return result;
}

}  // namespace maturity
