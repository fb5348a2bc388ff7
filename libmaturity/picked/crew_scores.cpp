#include "libmaturity/picked/crew_scores.h"

#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <map>
#include <set>
#include <tuple>
#include <utility>

#include "libmaturity/stats/random_stream.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

void check_bins(const std::vector<BinCheck>& checks) {
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

NumberedBins number_bins(const std::vector<BinCheck>& checks) {
  std::map<std::string, std::size_t> crews;
  std::map<std::pair<std::string, std::string>, std::size_t> places;
  std::map<std::tuple<std::string, std::string, std::string>, std::size_t> strata;
  for (const BinCheck& each : checks) {
    crews.emplace(each.crew, 0);
    places.emplace(std::pair(each.block, each.method), places.size());
    strata.emplace(std::tuple(each.block, each.method, each.date), strata.size());
  }
  NumberedBins result;
  for (auto& [crew, index] : crews) {
    index = result.crews.size();
    result.crews.push_back(crew);
  }
  result.strata.resize(strata.size());
  result.dates.resize(strata.size());
  for (const auto& [stratum, index] : strata) {
    result.dates[index] = std::get<2>(stratum);
  }
  for (std::size_t i = 0; i < checks.size(); ++i) {
    const BinCheck& each = checks[i];
    result.crew.push_back(crews.at(each.crew));
    result.place.push_back(places.at({each.block, each.method}));
    result.stratum.push_back(strata.at({each.block, each.method, each.date}));
    result.strata[result.stratum.back()].push_back(i);
    result.checked.push_back(each.checked);
    result.found.push_back(each.found);
  }
  return result;
}

CrewScores score_crews(const NumberedBins& data, const std::vector<std::size_t>& crew,
                       double intraclass) {
  const std::size_t count = data.crews.size();
  const std::vector<double> none(count, 0.0);
  CrewScores scores{none, none, none, none, none, none, none};
  std::vector<double> own(count);
  std::vector<double> own_found(count);
  std::vector<double> own_weight(count);
  for (const std::vector<std::size_t>& bins : data.strata) {
    std::fill(own.begin(), own.end(), 0.0);
    std::fill(own_found.begin(), own_found.end(), 0.0);
    std::fill(own_weight.begin(), own_weight.end(), 0.0);
    double checked = 0.0;
    double found = 0.0;
    double weight = 0.0;
    for (const std::size_t bin : bins) {
      const double m = data.checked[bin];
      const double bin_weight = m * (1.0 + (m - 1.0) * intraclass);
      own[crew[bin]] += m;
      own_found[crew[bin]] += data.found[bin];
      own_weight[crew[bin]] += bin_weight;
      checked += m;
      found += data.found[bin];
      weight += bin_weight;
    }
    const double share = found / checked;
    const double spread = checked > 1.0 ? share * (1.0 - share) * checked / (checked - 1.0) : 0.0;
    for (std::size_t c = 0; c < count; ++c) {
      const double part = own[c] / checked;
      scores.found[c] += own_found[c];
      scores.expected[c] += share * own[c];
      scores.variance[c] += spread * ((1.0 - part) * (1.0 - part) * own_weight[c] +
                                      part * part * (weight - own_weight[c]));
      const double others = checked - own[c];
      if (own[c] > 0.0 && others > 0.0) {
        scores.own[c] += own[c];
        scores.others[c] += others;
        scores.found_beside[c] += own_found[c];
        scores.as_others[c] += own[c] * (found - own_found[c]) / others;
      }
    }
  }
  return scores;
}

double standardised(const CrewScores& scores, std::size_t crew) {
  const double gap = std::abs(scores.found[crew] - scores.expected[crew]);
  return scores.variance[crew] > 0.0 ? gap / std::sqrt(scores.variance[crew]) : 0.0;
}

BinDispersion bin_dispersion(const NumberedBins& data) {
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

namespace {

double log_choose(double n, double k) {
  return std::lgamma(n + 1.0) - std::lgamma(k + 1.0) - std::lgamma(n - k + 1.0);
}

}  // namespace

std::vector<double> attainable_p_values(const NumberedBins& data) {
  const std::size_t count = data.crews.size();
  std::vector<std::vector<int>> bins_of(count, std::vector<int>(data.strata.size(), 0));
  for (std::size_t s = 0; s < data.strata.size(); ++s) {
    for (const std::size_t bin : data.strata[s]) {
      ++bins_of[data.crew[bin]][s];
    }
  }
  std::vector<double> smallest;
  for (std::size_t c = 0; c < count; ++c) {
    double log_arrangements = 0.0;
    for (std::size_t s = 0; s < data.strata.size(); ++s) {
      log_arrangements += log_choose(static_cast<double>(data.strata[s].size()), bins_of[c][s]);
    }
    // A crew with as many bins in each stratum would score the same, had it the bad ones.
    const auto alike = std::count(bins_of.begin(), bins_of.end(), bins_of[c]);
    smallest.push_back(std::min(1.0, static_cast<double>(alike) * std::exp(-log_arrangements)));
  }
  return smallest;
}

std::vector<double> shuffled_p_values(const NumberedBins& data, const CrewScores& observed,
                                      double intraclass, int shuffles, std::uint64_t seed) {
  std::vector<int> as_large(data.crews.size(), 0);
  std::vector<std::size_t> crew = data.crew;
  RandomStream stream(seed);
  for (int run = 0; run < shuffles; ++run) {
    for (const std::vector<std::size_t>& bins : data.strata) {
      for (std::size_t i = bins.size() - 1; i > 0; --i) {
        std::swap(crew[bins[i]], crew[bins[stream.below(i + 1)]]);
      }
    }
    const CrewScores scores = score_crews(data, crew, intraclass);
    double largest = 0.0;
    for (std::size_t c = 0; c < data.crews.size(); ++c) {
      largest = std::max(largest, standardised(scores, c));
    }
    for (std::size_t c = 0; c < data.crews.size(); ++c) {
      // Equal scores may differ by rounding, the order of adding being another.
      as_large[c] += largest >= standardised(observed, c) - 1e-12 ? 1 : 0;
    }
  }
  std::vector<double> p;
  p.reserve(as_large.size());
  for (const int count : as_large) {
    p.push_back((count + 1.0) / (shuffles + 1.0));
  }
  return p;
}

double intraclass_of(double design_effect, double bin_size) {
  return bin_size > 1.0 ? std::clamp((design_effect - 1.0) / (bin_size - 1.0), 0.0, 1.0) : 0.0;
}

double mean_bin_size(const NumberedBins& data, std::optional<std::size_t> crew) {
  double fruit = 0.0;
  double squares = 0.0;
  for (std::size_t i = 0; i < data.crew.size(); ++i) {
    if (!crew || data.crew[i] == *crew) {
      fruit += data.checked[i];
      squares += data.checked[i] * data.checked[i];
    }
  }
  return fruit > 0.0 ? squares / fruit : 0.0;
}

std::vector<double> spread_p_values(const CrewScores& observed, int degrees) {
  const auto count = static_cast<double>(observed.found.size());
  std::vector<double> p;
  for (std::size_t c = 0; c < observed.found.size(); ++c) {
    const double gap = std::abs(observed.found[c] - observed.expected[c]) - 0.5;
    const double variance = observed.variance[c];
    const double score = variance > 0.0 && gap > 0.0 ? gap / std::sqrt(variance) : 0.0;
    const double tail =
        degrees > 0
            ? boost::math::cdf(boost::math::complement(boost::math::students_t(degrees), score))
            : boost::math::cdf(boost::math::complement(boost::math::normal(), score));
    p.push_back(std::min(1.0, 2.0 * tail * count));
  }
  return p;
}

}  // namespace maturity
