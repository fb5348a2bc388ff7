#include "libmaturity/field/crew_scores.h"

#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <cmath>
#include <map>
#include <utility>

#include "libmaturity/stats/random_stream.h"

namespace maturity {

NumberedBins number_bins(const std::vector<BinCheck>& checks) {
  std::map<std::string, std::size_t> crews;
  std::map<std::pair<std::string, std::string>, std::size_t> strata;
  for (const BinCheck& each : checks) {
    crews.emplace(each.crew, 0);
    strata.emplace(std::pair(each.block, each.method), strata.size());
  }
  NumberedBins result;
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

CrewScores score_crews(const NumberedBins& data, const std::vector<std::size_t>& crew) {
  const std::size_t count = data.crews.size();
  CrewScores scores{std::vector<double>(count, 0.0), std::vector<double>(count, 0.0),
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

namespace {

double standardised(const CrewScores& scores, std::size_t crew) {
  const double gap = std::abs(scores.found[crew] - scores.expected[crew]);
  return scores.variance[crew] > 0.0 ? gap / std::sqrt(scores.variance[crew]) : 0.0;
}

}  // namespace

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

std::vector<double> shuffled_p_values(const NumberedBins& data, const CrewScores& observed,
                                      int shuffles, std::uint64_t seed) {
  std::vector<int> as_large(data.crews.size(), 0);
  std::vector<std::size_t> crew = data.crew;
  RandomStream stream(seed);
  for (int run = 0; run < shuffles; ++run) {
    for (const std::vector<std::size_t>& bins : data.bins_of_stratum) {
      for (std::size_t i = bins.size() - 1; i > 0; --i) {
        std::swap(crew[bins[i]], crew[bins[stream.below(i + 1)]]);
      }
    }
    const CrewScores scores = score_crews(data, crew);
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
    p.push_back((count + 1.0) / (shuffles + 1.0));
  }
  return p;
}

std::vector<double> normal_p_values(const CrewScores& observed) {
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

}  // namespace maturity
