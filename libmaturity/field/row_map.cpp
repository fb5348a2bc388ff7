#include "libmaturity/field/row_map.h"

#include <Eigen/Core>
#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <map>
#include <numbers>
#include <string>
#include <utility>

#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

// WGS 84 (NIMA TR8350.2, from memory).
constexpr double kEquatorRadius = 6378137.0;
constexpr double kFlattening = 1.0 / 298.257223563;
constexpr double kWidestBlockDeg = 1.0;

using Place = Eigen::Vector2d;

Place vector_of(const TreePlace& place) { return {place.x_m, place.y_m}; }

/// Middle of each row.
std::map<int, Place> row_middles(const std::vector<int>& row,
                                 const std::vector<TreePlace>& places) {
  std::map<int, Place> middle;
  std::map<int, double> count;
  for (std::size_t i = 0; i < row.size(); ++i) {
    middle.try_emplace(row[i], Place::Zero()).first->second += vector_of(places[i]);
    count[row[i]] += 1.0;
  }
  for (auto& [label, sum] : middle) {
    sum /= count[label];
  }
  return middle;
}

/// Unit vector along the rows, in the direction in which trees are listed.
Place row_direction(const std::vector<int>& row, const std::vector<TreePlace>& places,
                    const std::map<int, Place>& middle) {
  Eigen::Matrix2d scatter = Eigen::Matrix2d::Zero();
  std::map<int, std::size_t> previous;
  Place listed = Place::Zero();
  for (std::size_t i = 0; i < row.size(); ++i) {
    const Place from_middle = vector_of(places[i]) - middle.at(row[i]);
    scatter += from_middle * from_middle.transpose();
    const auto before = previous.find(row[i]);
    if (before != previous.end()) {
      listed += vector_of(places[i]) - vector_of(places[before->second]);
    }
    previous[row[i]] = i;
  }
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d> axes(scatter);
  const Place along = axes.eigenvectors().col(1);
  return along.dot(listed) < 0.0 ? Place(-along) : along;
}

}  // namespace

std::vector<TreePlace> local_places(const std::vector<GeoPoint>& points) {
  double lat = 0.0;
  double lon = 0.0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const std::string name = "point " + std::to_string(i + 1);
    if (!(std::abs(points[i].lat_deg) <= 90.0)) {
      reject_argument(name + ", latitude", points[i].lat_deg, "-90 to 90 degrees");
    }
    if (!(std::abs(points[i].lon_deg) <= 180.0)) {
      reject_argument(name + ", longitude", points[i].lon_deg, "-180 to 180 degrees");
    }
    lat += points[i].lat_deg / static_cast<double>(points.size());
    lon += points[i].lon_deg / static_cast<double>(points.size());
  }
  constexpr double kRadian = std::numbers::pi / 180.0;
  const double eccentricity = kFlattening * (2.0 - kFlattening);
  const double w = std::sqrt(1.0 - eccentricity * std::pow(std::sin(lat * kRadian), 2));
  const double meridian = kEquatorRadius * (1.0 - eccentricity) / (w * w * w);
  const double circle = kEquatorRadius / w * std::cos(lat * kRadian);
  std::vector<TreePlace> places;
  places.reserve(points.size());
  for (const GeoPoint& point : points) {
    if (std::abs(point.lon_deg - lon) > kWidestBlockDeg ||
        std::abs(point.lat_deg - lat) > kWidestBlockDeg) {
      reject_argument("points", "more than a degree from their middle", "trees of one block");
    }
    places.push_back(
        {(point.lon_deg - lon) * kRadian * circle, (point.lat_deg - lat) * kRadian * meridian});
  }
  return places;
}

std::vector<RowTree> trees_in_rows(const std::vector<int>& row,
                                   const std::vector<TreePlace>& places) {
  if (row.empty() || row.size() != places.size()) {
    reject_argument("row", std::to_string(row.size()) + " values", "one per tree, and at least 1");
  }
  const std::map<int, Place> middle = row_middles(row, places);
  const Place along = row_direction(row, places, middle);
  Place across(-along.y(), along.x());
  const Place& first = middle.at(row.front());
  Place all = Place::Zero();
  for (const auto& [label, place] : middle) {
    all += place / static_cast<double>(middle.size());
  }
  // The row listed first is walked first, or lies on that side.
  if (across.dot(all - first) < 0.0) {
    across = -across;
  }
  std::vector<std::pair<double, int>> order;
  order.reserve(middle.size());
  for (const auto& [label, place] : middle) {
    order.emplace_back(across.dot(place), label);
  }
  std::sort(order.begin(), order.end());
  std::map<int, int> rank;
  for (std::size_t i = 0; i < order.size(); ++i) {
    rank[order[i].second] = static_cast<int>(i);
  }
  std::vector<RowTree> trees;
  trees.reserve(row.size());
  for (std::size_t i = 0; i < row.size(); ++i) {
    trees.push_back(
        {rank[row[i]], along.dot(vector_of(places[i])), across.dot(vector_of(places[i]))});
  }
  return trees;
}

}  // namespace maturity
