#include "tools/simulate/real_pairs.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <iomanip>
#include <map>
#include <numeric>
#include <sstream>
#include <stdexcept>
#include <utility>

namespace maturity::simulate {

namespace {

std::vector<std::string> cells_of(const std::string& line) {
  std::vector<std::string> cells;
  std::istringstream text(line);
  for (std::string cell; std::getline(text, cell, ',');) {
    if (!cell.empty() && cell.back() == '\r') {
      cell.pop_back();
    }
    cells.push_back(cell);
  }
  return cells;
}

double number_in(const std::vector<std::string>& cells, std::size_t column, int row) {
  const std::string cell = column < cells.size() ? cells[column] : "";
  std::size_t used = 0;
  double value = 0.0;
  try {
    value = std::stod(cell, &used);
  } catch (const std::logic_error&) {
    used = 0;
  }
  if (used == 0 || used != cell.size()) {
    throw std::runtime_error("row " + std::to_string(row) + ": \"" + cell + "\" is no number");
  }
  return value;
}

}  // namespace

std::vector<Population> read_pairs(std::istream& csv) {
  std::string line;
  std::getline(csv, line);
  const std::vector<std::string> header = cells_of(line);
  const auto column = [&](const std::string& name) {
    const auto found = std::find(header.begin(), header.end(), name);
    if (found == header.end()) {
      throw std::runtime_error("no column " + name);
    }
    return static_cast<std::size_t>(found - header.begin());
  };
  const std::size_t population = column("population");
  const std::size_t instrument = column("instrument");
  const std::size_t fruit = column("reference_no");
  const std::size_t oven = column("dm_reference_pct");
  const std::size_t meter = column("dm_nir_pred_pct");
  std::vector<Population> groups;
  std::map<std::pair<std::string, std::string>, std::size_t> index;
  for (int row = 2; std::getline(csv, line); ++row) {
    const std::vector<std::string> cells = cells_of(line);
    if (cells.size() <= std::max({population, instrument, fruit, oven, meter})) {
      throw std::runtime_error("row " + std::to_string(row) + ": too few cells");
    }
    const auto [place, added] =
        index.try_emplace({cells[population], cells[instrument]}, groups.size());
    if (added) {
      groups.push_back({cells[population], cells[instrument], {}, {}, {}});
    }
    groups[place->second].fruit.push_back(cells[fruit]);
    groups[place->second].oven.push_back(number_in(cells, oven, row));
    groups[place->second].meter.push_back(number_in(cells, meter, row));
  }
  if (groups.empty()) {
    throw std::runtime_error("no pairs");
  }
  return groups;
}

double mean_of(const std::vector<double>& values) {
  return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

double sd_of(const std::vector<double>& values) {
  const double mean = mean_of(values);
  double square = 0.0;
  for (const double value : values) {
    square += (value - mean) * (value - mean);
  }
  return std::sqrt(square / (static_cast<double>(values.size()) - 1.0));
}

MeterFacts facts_of(const Population& group) {
  std::vector<double> error;
  double cross = 0.0;
  double square = 0.0;
  const double oven = mean_of(group.oven);
  for (std::size_t i = 0; i < group.oven.size(); ++i) {
    error.push_back(group.meter[i] - group.oven[i]);
    cross += (group.oven[i] - oven) * group.meter[i];
    square += (group.oven[i] - oven) * (group.oven[i] - oven);
  }
  const double slope = cross / square;
  std::vector<double> about_line;
  for (std::size_t i = 0; i < group.oven.size(); ++i) {
    about_line.push_back(group.meter[i] - slope * group.oven[i]);
  }
  return {mean_of(error), sd_of(error), slope, sd_of(about_line)};
}

std::string decimals(double value, int digits) {
  std::ostringstream text;
  text << std::fixed << std::setprecision(digits) << value;
  return text.str();
}

}  // namespace maturity::simulate
