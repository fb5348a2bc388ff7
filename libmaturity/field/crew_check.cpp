#include "libmaturity/field/crew_check.h"

#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <cctype>
#include <cmath>
#include <cstddef>
#include <map>
#include <set>
#include <tuple>

#include "libmaturity/stats/proportion.h"
#include "libmaturity/stats/random_stream.h"
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

/// Bins with crews and strata (block and method) by number.
struct Numbered {
  std::vector<std::string> crews;
  std::vector<std::size_t> crew;
  std::vector<std::size_t> stratum;
  std::vector<std::vector<std::size_t>> bins_of_stratum;
  std::vector<double> checked;
  std::vector<double> found;
};

Numbered number(const std::vector<BinCheck>& checks) {
  std::map<std::string, std::size_t> crews;
  std::map<std::pair<std::string, std::string>, std::size_t> strata;
  for (const BinCheck& each : checks) {
    crews.emplace(each.crew, 0);
    strata.emplace(std::pair(each.block, each.method), strata.size());
  }
  Numbered result;
  for (auto& [crew, index] : crews) {
    index = result.crews.size();
    result.crews.push_back(crew);
  }
  result.bins_of_stratum.resize(strata.size());
  for (std::size_t i = 0; i < checks.size(); ++i) {
    result.crew.push_back(crews.at(checks[i].crew));
    result.stratum.push_back(strata.at({checks[i].block, checks[i].method}));
    result.bins_of_stratum[result.stratum.back()].push_back(i);
    result.checked.push_back(checks[i].checked);
    result.found.push_back(checks[i].found);
  }
  return result;
}

/// Findings of each crew against what its strata would give.
struct Scores {
  std::vector<double> found;
  std::vector<double> expected;
  std::vector<double> variance;
  std::vector<double> others;
};

Scores score(const Numbered& data, const std::vector<std::size_t>& crew) {
  const std::size_t count = data.crews.size();
  Scores scores{std::vector<double>(count, 0.0), std::vector<double>(count, 0.0),
                std::vector<double>(count, 0.0), std::vector<double>(count, 0.0)};
  std::vector<double> own(count);
  for (const std::vector<std::size_t>& bins : data.bins_of_stratum) {
    std::fill(own.begin(), own.end(), 0.0);
    double checked = 0.0;
    double found = 0.0;
    for (const std::size_t bin : bins) {
      own[crew[bin]] += data.checked[bin];
      scores.found[crew[bin]] += data.found[bin];
      checked += data.checked[bin];
      found += data.found[bin];
    }
    const double share = found / checked;
    const double spread = checked > 1.0 ? share * (1.0 - share) / (checked - 1.0) : 0.0;
    for (std::size_t c = 0; c < count; ++c) {
      scores.expected[c] += share * own[c];
      scores.variance[c] += spread * own[c] * (checked - own[c]);
      scores.others[c] += own[c] > 0.0 ? checked - own[c] : 0.0;
    }
  }
  return scores;
}

double standardised(const Scores& scores, std::size_t crew) {
  const double gap = std::abs(scores.found[crew] - scores.expected[crew]);
  return scores.variance[crew] > 0.0 ? gap / std::sqrt(scores.variance[crew]) : 0.0;
}

/// Pooled over-dispersion of bins within crew and stratum, and its degrees of freedom.
std::pair<double, int> overdispersion(const Numbered& data) {
  std::map<std::pair<std::size_t, std::size_t>, std::vector<std::size_t>> cells;
  for (std::size_t i = 0; i < data.crew.size(); ++i) {
    cells[{data.stratum[i], data.crew[i]}].push_back(i);
  }
  double squares = 0.0;
  int degrees = 0;
  for (const auto& [cell, bins] : cells) {
    double checked = 0.0;
    double found = 0.0;
    for (const std::size_t bin : bins) {
      checked += data.checked[bin];
      found += data.found[bin];
    }
    const double share = found / checked;
    if (!(share > 0.0 && share < 1.0)) {
      continue;  // says nothing of how bins differ
    }
    for (const std::size_t bin : bins) {
      const double gap = data.found[bin] - data.checked[bin] * share;
      squares += gap * gap / (data.checked[bin] * share * (1.0 - share));
    }
    degrees += static_cast<int>(bins.size()) - 1;
  }
  return {degrees > 0 ? squares / degrees : 1.0, degrees};
}

std::vector<double> shuffled_p(const Numbered& data, const Scores& observed,
                               const CrewOptions& options) {
  std::vector<int> as_large(data.crews.size(), 0);
  std::vector<std::size_t> crew = data.crew;
  RandomStream stream(options.seed);
  for (int run = 0; run < options.shuffles; ++run) {
    for (const std::vector<std::size_t>& bins : data.bins_of_stratum) {
      for (std::size_t i = bins.size() - 1; i > 0; --i) {
        std::swap(crew[bins[i]], crew[bins[stream.below(i + 1)]]);
      }
    }
    const Scores scores = score(data, crew);
    double largest = 0.0;
    for (std::size_t c = 0; c < data.crews.size(); ++c) {
      largest = std::max(largest, standardised(scores, c));
    }
    for (std::size_t c = 0; c < data.crews.size(); ++c) {
      as_large[c] += largest >= standardised(observed, c) - 1e-12 ? 1 : 0;
    }
  }
  std::vector<double> p;
  p.reserve(as_large.size());
  for (const int count : as_large) {
    p.push_back((count + 1.0) / (options.shuffles + 1.0));
  }
  return p;
}

std::vector<double> normal_p(const Scores& observed) {
  const auto count = static_cast<double>(observed.found.size());
  std::vector<double> p;
  for (std::size_t c = 0; c < observed.found.size(); ++c) {
    const double gap = std::abs(observed.found[c] - observed.expected[c]) - 0.5;
    const double z =
        observed.variance[c] > 0.0 && gap > 0.0 ? gap / std::sqrt(observed.variance[c]) : 0.0;
    const double tail = 2.0 * boost::math::cdf(boost::math::complement(boost::math::normal(), z));
    p.push_back(std::min(1.0, tail * count));
  }
  return p;
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
  const Numbered data = number(checks);
  const Scores observed = score(data, data.crew);
  const auto [dispersion, degrees] = overdispersion(data);
  result.by_shuffling = degrees >= kFewestSpareBins;
  if (result.by_shuffling) {
    result.design_effect = std::max(1.0, dispersion);
  }
  const double effect = result.design_effect.value_or(1.0);
  const std::vector<double> p =
      result.by_shuffling ? shuffled_p(data, observed, options) : normal_p(observed);
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
