#include "libmaturity/picked/crew_comparison.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <iterator>
#include <map>
#include <set>
#include <utility>

#include "libmaturity/picked/crew_days.h"
#include "libmaturity/picked/crew_scores.h"
#include "libmaturity/picked/drawn_bins.h"

namespace maturity {

namespace {

/// Shuffling is used where it could reach this part of the false alarm allowed.
constexpr double kShufflingReaches = 0.2;
/// Shuffles for each of the false alarms allowed, so that p-values near it are told apart.
constexpr double kShufflesPerAlarm = 20.0;

struct Round {
  NumberedBins data;
  CrewScores scores;
  /// All crews allowed for; the larger of what bins and what days say.
  std::vector<double> p;
  /// What bins alone say.
  std::vector<double> p_bins;
  /// As if fruit were independent; empty where bins were shuffled.
  std::vector<double> p_independent;
};

ComparedBy way_to_compare(const std::vector<BinCheck>& checks, bool spread_known,
                          double false_alarm) {
  if (!spread_known) {
    return ComparedBy::assumed_spread;
  }
  const NumberedBins data = number_bins(checks);
  const CrewScores scores = score_crews(data, data.crew, 0.0);
  const std::vector<double> smallest = attainable_p_values(data);
  for (std::size_t c = 0; c < smallest.size(); ++c) {
    if (scores.others[c] > 0.0 && smallest[c] > kShufflingReaches * false_alarm) {
      return ComparedBy::bin_spread;
    }
  }
  return ComparedBy::shuffled_bins;
}

/// Few bins tell their likeness badly: drawn ones are at least so many times as alike as assumed.
constexpr double kFewBinsHide = 2.0;
/// With more bins than this counts are no longer skewed, and drawing them takes long.
constexpr std::size_t kMostDrawnBins = 400;

int enough_shuffles(const CrewOptions& options) {
  return std::max(options.shuffles,
                  static_cast<int>(std::ceil(kShufflesPerAlarm / options.false_alarm)));
}

/// The larger of two p-values, crew by crew: Student's t fails where findings are rare and counts
/// skewed, drawn bins where bins vary more than the few of them show.
std::vector<double> with_drawn_bins(std::vector<double> p, const NumberedBins& data,
                                    const DrawnBins& how, double false_alarm) {
  const bool chance =
      std::none_of(p.begin(), p.end(), [&](double each) { return each <= false_alarm; });
  if (chance || data.crew.size() > kMostDrawnBins) {
    return p;
  }
  const std::vector<double> drawn = drawn_p_values(data, how);
  for (std::size_t c = 0; c < p.size(); ++c) {
    p[c] = std::max(p[c], drawn[c]);
  }
  return p;
}

Round compare_once(const std::vector<BinCheck>& checks, ComparedBy way, double known_effect,
                   int spare_bins, const CrewOptions& options) {
  Round round;
  round.data = number_bins(checks);
  const double intraclass = way == ComparedBy::assumed_spread
                                ? options.assumed_intraclass
                                : intraclass_of(known_effect, mean_bin_size(round.data));
  round.scores = score_crews(round.data, round.data.crew, intraclass);
  DrawnBins drawn{intraclass, false, enough_shuffles(options), options.seed};
  switch (way) {
    case ComparedBy::shuffled_bins:
      round.p = shuffled_p_values(round.data, round.scores, intraclass, enough_shuffles(options),
                                  options.seed);
      break;
    case ComparedBy::bin_spread:
      drawn.intraclass = std::max(intraclass, kFewBinsHide * options.assumed_intraclass);
      drawn.estimate_spread = true;
      round.p = with_drawn_bins(spread_p_values(round.scores, spare_bins), round.data, drawn,
                                options.false_alarm);
      break;
    case ComparedBy::assumed_spread:
      drawn.intraclass *= spare_bins > 0 ? kFewBinsHide : 1.0;
      round.p =
          with_drawn_bins(spread_p_values(round.scores, 0), round.data, drawn, options.false_alarm);
      break;
  }
  round.p_bins = round.p;
  const int known_by = way == ComparedBy::assumed_spread ? 0 : spare_bins;
  const std::vector<double> days = day_p_values(round.data, round.scores, intraclass, known_by);
  for (std::size_t c = 0; c < round.p.size(); ++c) {
    round.p[c] = std::max(round.p[c], days[c]);
  }
  if (way != ComparedBy::shuffled_bins) {
    round.p_independent = spread_p_values(score_crews(round.data, round.data.crew, 0.0), 0);
  }
  return round;
}

/// Why this crew cannot be compared at all, from the whole of the data.
std::optional<CannotTell> hindrance(const Round& all, std::size_t crew, int bins, int fruit,
                                    bool alone_in_place, bool spread_known,
                                    const CrewOptions& options) {
  if (!(all.scores.others[crew] > 0.0)) {
    return alone_in_place ? CannotTell::nobody_to_compare : CannotTell::other_days;
  }
  if (fruit < options.fewest_fruit || all.scores.others[crew] < options.fewest_fruit) {
    return CannotTell::too_few_fruit;
  }
  if (spread_known && bins < 2) {
    return CannotTell::one_bin;
  }
  return std::nullopt;
}

std::set<std::string> alone_in_place(const NumberedBins& data) {
  std::map<std::size_t, std::set<std::size_t>> crews_of;
  for (std::size_t i = 0; i < data.crew.size(); ++i) {
    crews_of[data.place[i]].insert(data.crew[i]);
  }
  std::set<std::string> alone(data.crews.begin(), data.crews.end());
  for (const auto& [place, crews] : crews_of) {
    for (const std::size_t crew : crews) {
      if (crews.size() > 1) {
        alone.erase(data.crews[crew]);
      }
    }
  }
  return alone;
}

using Verdicts = std::map<std::string, CrewVerdict>;

/// Days shared with others, and on how many of them the crew had the larger share.
void count_days(CrewVerdict& verdict, const NumberedBins& data, std::size_t crew) {
  std::map<std::string, double> more;  // findings beyond what the others would give
  for (std::size_t s = 0; s < data.strata.size(); ++s) {
    double own = 0.0;
    double own_found = 0.0;
    double others = 0.0;
    double others_found = 0.0;
    for (const std::size_t bin : data.strata[s]) {
      (data.crew[bin] == crew ? own : others) += data.checked[bin];
      (data.crew[bin] == crew ? own_found : others_found) += data.found[bin];
    }
    if (own > 0.0 && others > 0.0) {
      more[data.dates[s]] += own_found - own * others_found / others;
    }
  }
  verdict.own_days = static_cast<int>(more.size());
  verdict.days_above = 0;
  verdict.days_below = 0;
  for (const auto& [day, beyond] : more) {
    verdict.days_above += beyond > 0.0 ? 1 : 0;
    verdict.days_below += beyond < 0.0 ? 1 : 0;
  }
}

/// Shares over the strata shared with others, the two that are compared.
void set_shares(CrewVerdict& verdict, const NumberedBins& data, const CrewScores& scores,
                std::size_t crew) {
  count_days(verdict, data, crew);
  if (scores.own[crew] > 0.0) {
    verdict.own_checked = static_cast<int>(scores.own[crew]);
    verdict.own_share = scores.found_beside[crew] / scores.own[crew];
    verdict.others_share = scores.as_others[crew] / scores.own[crew];
  }
}

/// Bins of a crew in strata shared with others.
int bins_beside_others(const NumberedBins& data, std::size_t crew) {
  int count = 0;
  for (const std::vector<std::size_t>& bins : data.strata) {
    const auto own = std::count_if(bins.begin(), bins.end(),
                                   [&](std::size_t bin) { return data.crew[bin] == crew; });
    if (own < static_cast<std::ptrdiff_t>(bins.size())) {
      count += static_cast<int>(own);
    }
  }
  return count;
}

void settle(CrewVerdict& verdict, const Round& round, std::size_t crew, bool differs,
            const CrewOptions& options) {
  verdict.p_value = round.p[crew];
  verdict.differs = differs;
  if (differs) {
    // Against those it was found to differ from: crews set aside earlier are no longer among them.
    set_shares(verdict, round.data, round.scores, crew);
  }
  if (differs) {
    return;
  }
  if (round.p_bins[crew] <= options.false_alarm) {
    verdict.differs = std::nullopt;
    verdict.reason = CannotTell::days_not_told;
  } else if (!round.p_independent.empty() && round.p_independent[crew] <= options.false_alarm) {
    verdict.differs = std::nullopt;
    verdict.reason = CannotTell::bins_not_told;
  }
}

/// The most different crew that may be judged; of two alike the one with more findings.
std::optional<std::size_t> most_different(const Round& round, const Verdicts& verdicts) {
  std::optional<std::size_t> most;
  for (std::size_t c = 0; c < round.data.crews.size(); ++c) {
    if (verdicts.at(round.data.crews[c]).reason || !(round.scores.others[c] > 0.0)) {
      continue;
    }
    const auto key = [&](std::size_t crew) {
      return std::pair(-round.p[crew], round.scores.found[crew] - round.scores.expected[crew]);
    };
    if (!most || key(c) > key(*most)) {
      most = c;
    }
  }
  return most;
}

}  // namespace

CrewVerdicts judge_crews(const std::vector<BinCheck>& checks, std::optional<double> design_effect,
                         int spare_bins, const CrewOptions& options) {
  const bool known = design_effect.has_value();
  const double effect = design_effect.value_or(1.0);
  CrewVerdicts result;
  result.compared_by = way_to_compare(checks, known, options.false_alarm);
  const Round all = compare_once(checks, result.compared_by, effect, spare_bins, options);
  const std::set<std::string> alone = alone_in_place(all.data);
  Verdicts verdicts;
  for (std::size_t c = 0; c < all.data.crews.size(); ++c) {
    CrewVerdict verdict;
    verdict.crew = all.data.crews[c];
    verdict.expected = all.scores.expected[c];
    set_shares(verdict, all.data, all.scores, c);
    const int bins = bins_beside_others(all.data, c);
    const auto fruit = static_cast<int>(all.scores.own[c]);
    verdict.reason = hindrance(all, c, bins, fruit, alone.contains(verdict.crew), known, options);
    verdicts.emplace(verdict.crew, verdict);
  }
  std::vector<BinCheck> left = checks;
  Round round = all;
  for (;;) {
    const std::optional<std::size_t> most = most_different(round, verdicts);
    if (!most || round.p[*most] > options.false_alarm) {
      break;
    }
    const std::string aside = round.data.crews[*most];
    settle(verdicts.at(aside), round, *most, true, options);
    std::vector<BinCheck> rest;
    std::copy_if(left.begin(), left.end(), std::back_inserter(rest),
                 [&](const BinCheck& each) { return each.crew != aside; });
    left = std::move(rest);
    if (left.empty()) {
      break;
    }
    const Round last = std::move(round);
    round = compare_once(left, way_to_compare(left, known, options.false_alarm), effect, spare_bins,
                         options);
    // Who has nobody left keeps the answer from when there was somebody.
    for (std::size_t c = 0; c < round.data.crews.size(); ++c) {
      CrewVerdict& verdict = verdicts.at(round.data.crews[c]);
      if (!verdict.reason && !(round.scores.others[c] > 0.0) && !verdict.p_value) {
        const auto before = std::find(last.data.crews.begin(), last.data.crews.end(), verdict.crew);
        const auto index = static_cast<std::size_t>(before - last.data.crews.begin());
        settle(verdict, last, index, last.p[index] <= options.false_alarm, options);
      }
    }
  }
  for (std::size_t c = 0; c < round.data.crews.size(); ++c) {
    CrewVerdict& verdict = verdicts.at(round.data.crews[c]);
    if (!verdict.reason && !verdict.p_value) {
      settle(verdict, round, c, false, options);
    }
  }
  for (auto& [crew, verdict] : verdicts) {
    result.crews.push_back(verdict);
  }
  return result;
}

}  // namespace maturity
