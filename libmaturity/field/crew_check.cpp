#include "libmaturity/field/crew_check.h"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <cstddef>
#include <set>
#include <tuple>

#include "libmaturity/field/crew_scores.h"
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
  std::vector<double> shares;
  std::vector<double> errors;
  for (const CrewShare& crew : crews) {
    shares.push_back(crew.share);
    errors.push_back(share * (1.0 - share) * design_effect / crew.checked);
  }
  if (crews.size() < 2) {
    return;
  }
  const Shrinkage shrunk = shrink_values(shares, errors);
  for (std::size_t c = 0; c < crews.size(); ++c) {
    crews[c].shrunk_share = shrunk.values[c].value;
    crews[c].shrunk_se = shrunk.values[c].standard_error;
  }
}

void judge(CrewShare& crew, double others, double p, bool bins_matter, const CrewOptions& options) {
  if (!(others > 0.0)) {
    crew.reason = CannotTell::nobody_to_compare;
  } else if (crew.checked < options.fewest_fruit || others < options.fewest_fruit) {
    crew.reason = CannotTell::too_few_fruit;
  } else if (bins_matter && crew.bins < 2) {
    crew.reason = CannotTell::one_bin;
  } else {
    crew.p_value = p;
    crew.differs = p <= options.false_alarm;
  }
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
      return "no other crew worked in the same block with the same method";
  }
  return "";
}

CrewComparison compare_crews(const std::vector<BinCheck>& checks, const CrewOptions& options) {
  check(checks);
  CrewComparison result;
  if (checks.empty()) {
    return result;
  }
  const NumberedBins data = number_bins(checks);
  const CrewScores observed = score_crews(data, data.crew);
  const BinDispersion dispersion = bin_dispersion(data);
  result.by_shuffling = dispersion.degrees >= kFewestSpareBins;
  if (result.by_shuffling) {
    result.design_effect = std::max(1.0, dispersion.ratio);
  }
  const double effect = result.design_effect.value_or(1.0);
  const std::vector<double> p =
      result.by_shuffling ? shuffled_p_values(data, observed, options.shuffles, options.seed)
                          : normal_p_values(observed);
  for (std::size_t c = 0; c < data.crews.size(); ++c) {
    CrewShare crew;
    crew.crew = data.crews[c];
    for (std::size_t i = 0; i < checks.size(); ++i) {
      if (data.crew[i] == c) {
        ++crew.bins;
        crew.checked += checks[i].checked;
        crew.found += checks[i].found;
      }
    }
    crew.share = static_cast<double>(crew.found) / crew.checked;
    crew.wilson = proportion_interval(crew.found, crew.checked, options.level);
    crew.clopper_pearson = proportion_interval(crew.found, crew.checked, options.level,
                                               ProportionMethod::clopper_pearson);
    crew.interval = proportion_interval(crew.found / effect, crew.checked / effect, options.level);
    crew.expected = observed.expected[c];
    judge(crew, observed.others[c], p[c], result.by_shuffling, options);
    for (std::size_t d = c + 1; d < data.crews.size(); ++d) {
      if (plain_name(data.crews[c]) == plain_name(data.crews[d])) {
        result.similar_names.emplace_back(data.crews[c], data.crews[d]);
      }
    }
    result.crews.push_back(crew);
  }
  rank_crews(result.crews, effect);
  return result;
}

}  // namespace maturity
