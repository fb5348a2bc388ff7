#include "libmaturity/board/find_markers.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <iterator>
#include <opencv2/aruco.hpp>
#include <opencv2/core.hpp>
#include <set>

#include "libmaturity/photo/edge_profile.h"

namespace maturity {

namespace {

constexpr int kSamplesPerSide = 24;
constexpr double kSideMargin = 0.12;  // the rounded ends of a side are not measured

struct Line {
  Point at;
  Point along;
};

// Total least squares with one round of outlier removal.
std::optional<Line> fit_line(std::vector<Point> points) {
  for (int round = 0; round < 2; ++round) {
    if (points.size() < 6) {
      return std::nullopt;
    }
    Point mean = Point::Zero();
    for (const Point& p : points) {
      mean += p;
    }
    mean /= static_cast<double>(points.size());
    Eigen::Matrix2d scatter = Eigen::Matrix2d::Zero();
    for (const Point& p : points) {
      scatter += (p - mean) * (p - mean).transpose();
    }
    const Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d> solver(scatter);
    const Line line{mean, solver.eigenvectors().col(1)};
    if (round == 1) {
      return line;
    }
    const Point across = solver.eigenvectors().col(0);
    std::vector<double> off(points.size());
    std::transform(points.begin(), points.end(), off.begin(),
                   [&](const Point& p) { return std::abs((p - mean).dot(across)); });
    std::vector<double> sorted = off;
    std::nth_element(sorted.begin(),
                     sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 2), sorted.end());
    const double limit = std::max(0.3, 4.0 * sorted[sorted.size() / 2]);
    std::vector<Point> kept;
    for (std::size_t i = 0; i < points.size(); ++i) {
      if (off[i] <= limit) {
        kept.push_back(points[i]);
      }
    }
    points = kept;
  }
  return std::nullopt;
}

std::optional<Point> crossing(const Line& a, const Line& b) {
  Eigen::Matrix2d m;
  m.col(0) = a.along;
  m.col(1) = -b.along;
  if (std::abs(m.determinant()) < 0.1) {
    return std::nullopt;
  }
  const Point t = m.inverse() * (b.at - a.at);
  return a.at + t.x() * a.along;
}

// The four sides on the full luminance; the coarse corners stay where a side cannot be seen.
void refine(const Photo& photo, MarkerSighting& marker, double coarse_step) {
  std::array<std::optional<Line>, 4> sides;
  std::array<std::vector<double>, 2> widths;
  for (std::size_t s = 0; s < 4; ++s) {
    const Point a = marker.corners_px.at(s);
    const Point b = marker.corners_px.at((s + 1) % 4);
    const Point along = (b - a).normalized();
    const Point outward(along.y(), -along.x());  // corners run clockwise on screen
    const double half_width = std::min(2.0 * coarse_step + 2.0, 0.06 * (b - a).norm() + 1.5);
    std::vector<Point> points;
    for (int i = 0; i < kSamplesPerSide; ++i) {
      const double t = kSideMargin + (1.0 - 2.0 * kSideMargin) * (i + 0.5) / kSamplesPerSide;
      const Point p = a + t * (b - a);
      if (const auto edge = find_step(photo, p, outward, half_width);
          edge && edge->contrast > 0.05) {
        points.emplace_back(p + edge->offset_px * outward);
        widths.at(s % 2).push_back(edge->width_px);
      }
    }
    sides.at(s) = fit_line(points);
  }
  for (std::size_t pair = 0; pair < 2; ++pair) {
    auto& w = widths.at(pair);
    if (!w.empty()) {
      const auto middle = w.begin() + static_cast<std::ptrdiff_t>(w.size() / 2);
      std::nth_element(w.begin(), middle, w.end());
      marker.edge_width_px.at(pair) = *middle;
    }
  }
  for (std::size_t s = 0; s < 4; ++s) {
    const auto& before = sides.at((s + 3) % 4);
    const auto& after = sides.at(s);
    if (before && after) {
      if (const auto corner = crossing(*before, *after);
          corner && (*corner - marker.corners_px.at(s)).norm() < 3.0 * coarse_step + 3.0) {
        marker.corners_px.at(s) = *corner;
      }
    }
  }
}

// Windows of the adaptive threshold, pixels of the small copy.
constexpr int kSmallestWindow = 3;
constexpr int kUsualWindow = 13;
constexpr int kLargestWindow = 23;

struct RawMarkers {
  std::vector<int> ids;
  std::vector<std::vector<cv::Point2f>> corners;
};

RawMarkers detect(const GreyField& grey, int least_window, int most_window) {
  const auto dictionary = cv::aruco::getPredefinedDictionary(cv::aruco::DICT_4X4_50);
  const auto parameters = cv::aruco::DetectorParameters::create();
  parameters->minMarkerPerimeterRate = 0.04;
  parameters->adaptiveThreshWinSizeMin = least_window;
  parameters->adaptiveThreshWinSizeStep = 10;
  parameters->adaptiveThreshWinSizeMax = most_window;
  const cv::Mat image(grey.height, grey.width, CV_8UC1,
                      const_cast<std::uint8_t*>(grey.pixels.data()));  // NOLINT: read only
  RawMarkers raw;
  cv::aruco::detectMarkers(image, dictionary, raw.corners, raw.ids, parameters);
  return raw;
}

}  // namespace

std::vector<MarkerSighting> find_markers(const Photo& photo) {
  return find_markers(photo, grey_field(photo, kMarkerSide));
}

std::vector<MarkerSighting> find_markers(const Photo& photo, const GreyField& grey) {
  RawMarkers raw = detect(grey, kUsualWindow, kUsualWindow);
  // Only boards that are hard to read, and photos without one, pay for the other windows.
  constexpr int kOfTheSheet = 4;  // ids 0 to 3
  std::set<int> seen;
  std::copy_if(raw.ids.begin(), raw.ids.end(), std::inserter(seen, seen.end()),
               [](int id) { return id < kOfTheSheet; });
  if (seen.size() < kOfTheSheet) {
    raw = detect(grey, kSmallestWindow, kLargestWindow);
  }
  std::vector<MarkerSighting> found;
  for (std::size_t i = 0; i < raw.ids.size(); ++i) {
    MarkerSighting marker;
    marker.id = raw.ids[i];
    for (std::size_t c = 0; c < 4; ++c) {
      const cv::Point2f& p = raw.corners[i][c];
      marker.corners_px.at(c) = {(static_cast<double>(p.x) + 0.5) * grey.step_x - 0.5,
                                 (static_cast<double>(p.y) + 0.5) * grey.step_y - 0.5};
    }
    refine(photo, marker, grey.step_x);
    found.push_back(marker);
  }
  std::sort(found.begin(), found.end(), [](const MarkerSighting& a, const MarkerSighting& b) {
    return a.id != b.id ? a.id < b.id : a.corners_px[0].x() < b.corners_px[0].x();
  });
  std::vector<MarkerSighting> unique;
  for (std::size_t i = 0; i < found.size(); ++i) {
    const bool twin = (i > 0 && found[i - 1].id == found[i].id) ||
                      (i + 1 < found.size() && found[i + 1].id == found[i].id);
    if (!twin || found[i].id >= kFirstTileId) {
      unique.push_back(found[i]);
    }
  }
  return unique;
}

}  // namespace maturity
