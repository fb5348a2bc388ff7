#include "libmaturity/picked/crew_days.h"

#include <algorithm>
#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/fisher_f.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <cstddef>

namespace maturity {

namespace {

constexpr double kPoolingLevel = 0.25;
constexpr int kMostFittingRounds = 500;
constexpr double kFitted = 1e-9;

/// Fruit of one crew in one block, method and day that another crew was in too.
struct Cell {
  std::size_t crew = 0;
  std::size_t stratum = 0;
  double checked = 0.0;
  double found = 0.0;
  /// Fruit weighted by how alike those of a bin are.
  double weight = 0.0;
};

std::vector<Cell> shared_cells(const NumberedBins& data, double intraclass) {
  std::vector<Cell> shared;
  for (std::size_t s = 0; s < data.strata.size(); ++s) {
    std::vector<Cell> cells;
    for (const std::size_t bin : data.strata[s]) {
      auto cell = std::find_if(cells.begin(), cells.end(),
                               [&](const Cell& each) { return each.crew == data.crew[bin]; });
      if (cell == cells.end()) {
        cell = cells.insert(cells.end(), Cell{data.crew[bin], s});
      }
      const double m = data.checked[bin];
      cell->checked += m;
      cell->found += data.found[bin];
      cell->weight += m * (1.0 + (m - 1.0) * intraclass);
    }
    if (cells.size() > 1) {
      shared.insert(shared.end(), cells.begin(), cells.end());
    }
  }
  return shared;
}

/// Groups of crews that days tie together: each takes one degree of freedom less.
std::size_t tied_groups(const std::vector<Cell>& cells, std::size_t crews, std::size_t strata) {
  std::vector<std::size_t> group(crews);
  std::vector<std::size_t> first(strata, crews);
  std::vector<bool> present(crews, false);
  for (std::size_t c = 0; c < crews; ++c) {
    group[c] = c;
  }
  const auto root = [&](std::size_t c) {
    while (group[c] != c) {
      c = group[c];
    }
    return c;
  };
  for (const Cell& cell : cells) {
    present[cell.crew] = true;
    if (first[cell.stratum] == crews) {
      first[cell.stratum] = cell.crew;
    }
    group[root(cell.crew)] = root(first[cell.stratum]);
  }
  std::size_t groups = 0;
  for (std::size_t c = 0; c < crews; ++c) {
    groups += present[c] && group[c] == c ? 1U : 0U;
  }
  return groups;
}

/// Level of each crew and of each stratum, their product being the share expected in a cell.
struct Levels {
  std::vector<double> crew;
  std::vector<double> stratum;
};

/// One side of the fit: levels that give each row its own count. Largest relative change.
template <typename Index>
double refit(std::vector<double>& levels, const std::vector<double>& others,
             const std::vector<Cell>& cells, Index mine, Index theirs) {
  std::vector<double> found(levels.size(), 0.0);
  std::vector<double> exposed(levels.size(), 0.0);
  for (const Cell& cell : cells) {
    found[cell.*mine] += cell.found;
    exposed[cell.*mine] += cell.checked * others[cell.*theirs];
  }
  double change = 0.0;
  for (std::size_t i = 0; i < levels.size(); ++i) {
    const double level = exposed[i] > 0.0 ? found[i] / exposed[i] : 0.0;
    change = std::max(change, std::abs(level - levels[i]) / std::max(level, kFitted));
    levels[i] = level;
  }
  return change;
}

Levels fit(const std::vector<Cell>& cells, std::size_t crews, std::size_t strata) {
  Levels levels{std::vector<double>(crews, 1.0), std::vector<double>(strata, 0.0)};
  for (int round = 0; round < kMostFittingRounds; ++round) {
    refit(levels.stratum, levels.crew, cells, &Cell::stratum, &Cell::crew);
    if (refit(levels.crew, levels.stratum, cells, &Cell::crew, &Cell::stratum) < kFitted) {
      break;
    }
  }
  return levels;
}

}  // namespace

DaySpread day_spread(const NumberedBins& data, double intraclass) {
  std::vector<Cell> cells = shared_cells(data, intraclass);
  // Crews and days without any finding fit by themselves and say nothing of how days vary.
  std::vector<double> of_crew(data.crews.size(), 0.0);
  std::vector<double> of_stratum(data.strata.size(), 0.0);
  for (const Cell& cell : cells) {
    of_crew[cell.crew] += cell.found;
    of_stratum[cell.stratum] += cell.found;
  }
  std::erase_if(cells, [&](const Cell& cell) {
    return !(of_crew[cell.crew] > 0.0 && of_stratum[cell.stratum] > 0.0);
  });
  const Levels levels = fit(cells, data.crews.size(), data.strata.size());
  double squares = 0.0;
  for (const Cell& cell : cells) {
    const double share = levels.crew[cell.crew] * levels.stratum[cell.stratum];
    if (share > 0.0 && share < 1.0) {
      const double gap = cell.found - cell.checked * share;
      squares += gap * gap / (cell.weight * share * (1.0 - share));
    }
  }
  const auto crews = std::count_if(of_crew.begin(), of_crew.end(), [](double n) { return n > 0; });
  const auto strata =
      std::count_if(of_stratum.begin(), of_stratum.end(), [](double n) { return n > 0; });
  const auto groups = tied_groups(cells, data.crews.size(), data.strata.size());
  const int degrees =
      static_cast<int>(cells.size() + groups) - static_cast<int>(crews) - static_cast<int>(strata);
  return degrees > 0 ? DaySpread{squares / degrees, degrees} : DaySpread{};
}

std::vector<double> day_p_values(const NumberedBins& data, const CrewScores& scores,
                                 double intraclass, int spare_bins) {
  const std::size_t count = data.crews.size();
  const DaySpread days = day_spread(data, intraclass);
  std::vector<double> p(count, 0.0);
  if (days.degrees < 1 || days.ratio <= 1.0) {
    return p;
  }
  using boost::math::complement;
  const double tail =
      spare_bins > 0
          ? cdf(complement(boost::math::fisher_f(days.degrees, spare_bins), days.ratio))
          : cdf(complement(boost::math::chi_squared(days.degrees), days.ratio * days.degrees));
  if (tail > kPoolingLevel) {
    return p;
  }
  for (std::size_t c = 0; c < count; ++c) {
    const double score = standardised(scores, c) / std::sqrt(days.ratio);
    const double beyond = cdf(complement(boost::math::students_t(days.degrees), score));
    p[c] = std::min(1.0, 2.0 * beyond * static_cast<double>(count));
  }
  return p;
}

}  // namespace maturity
