#include "tests/board/sheet_photo.h"

#include <Eigen/Geometry>
#include <cmath>
#include <numbers>
#include <opencv2/aruco.hpp>

#include "tests/photo/drawn_photo.h"

namespace maturity::made {

namespace {

constexpr double kDegree = std::numbers::pi / 180.0;
constexpr int kRays = 5;
constexpr double kPaper = 1.45;  // half width of the white paper over that of the black border

Point to_marker(const LaidMarker& marker, const Point& board_mm) {
  const double turn = marker.turn_rad - marker.quarters * 0.5 * std::numbers::pi;
  const Point d = board_mm - marker.centre_mm;
  const Point own(std::cos(turn) * d.x() + std::sin(turn) * d.y(),
                  -std::sin(turn) * d.x() + std::cos(turn) * d.y());
  return own / (0.5 * marker.width_mm);
}

}  // namespace

Point Camera::project(const Point& board_mm) const {
  const Eigen::Vector3d ray =
      axes.transpose() * (Eigen::Vector3d(board_mm.x(), board_mm.y(), 0.0) - position);
  return principal() + focal_px / ray.z() * ray.head<2>();
}

Point Camera::on_board(const Point& px) const {
  const Point off = px - principal();
  const Eigen::Vector3d ray = axes * Eigen::Vector3d(off.x(), off.y(), focal_px);
  return position.head<2>() - position.z() / ray.z() * ray.head<2>();
}

double Camera::tilt_deg() const { return std::acos(-axes(2, 2)) / kDegree; }

double Camera::mm_per_px() const {
  // Solid angle of the central pixel over the slope of the board there.
  const double distance = position.z() / -axes(2, 2);
  return distance / focal_px / std::sqrt(-axes(2, 2));
}

Camera camera_at(const Stand& stand, int width, int height) {
  Camera camera;
  camera.width = width;
  camera.height = height;
  camera.focal_px = 26.0 / std::hypot(24.0, 36.0) * std::hypot(width, height);
  Eigen::Matrix3d level;  // columns: right, down, forward of a level camera
  level << 1, 0, 0, 0, -1, 0, 0, 0, -1;
  const Eigen::Vector3d lean(std::cos(stand.lean_deg * kDegree), std::sin(stand.lean_deg * kDegree),
                             0.0);
  camera.axes =
      Eigen::AngleAxisd(stand.tilt_deg * kDegree, lean).toRotationMatrix() *
      Eigen::AngleAxisd(stand.turn_deg * kDegree, Eigen::Vector3d::UnitZ()).toRotationMatrix() *
      level;
  const Eigen::Vector3d forward = camera.axes.col(2);
  const Eigen::Vector3d aim(stand.aside_mm.x(), stand.aside_mm.y(), 0.0);
  camera.position = aim + stand.height_mm / forward.z() * forward;
  return camera;
}

std::array<Point, 4> LaidMarker::corners_mm() const {
  const double turn = turn_rad - quarters * 0.5 * std::numbers::pi;
  const auto corner = [&](double x, double y) {
    const Point own = 0.5 * width_mm * Point(x, y);
    return Point(centre_mm + Point(std::cos(turn) * own.x() - std::sin(turn) * own.y(),
                                   std::sin(turn) * own.x() + std::cos(turn) * own.y()));
  };
  return {corner(-1, 1), corner(1, 1), corner(1, -1), corner(-1, -1)};
}

std::vector<LaidMarker> sheet_markers() {
  return {{0, {-200, 150}, 40.0, 0.0, 0},
          {1, {200, 150}, 40.0, 0.0, 0},
          {2, {200, -150}, 40.0, 0.0, 0},
          {3, {-200, -150}, 40.0, 0.0, 0}};
}

MarkerSighting sighting_of(const LaidMarker& marker, const Camera& camera) {
  MarkerSighting sighting;
  sighting.id = marker.id;
  const auto corners = marker.corners_mm();
  for (std::size_t c = 0; c < 4; ++c) {
    sighting.corners_px.at(c) = camera.project(corners.at(c));
  }
  return sighting;
}

std::vector<MarkerSighting> sightings_of(const std::vector<LaidMarker>& markers,
                                         const Camera& camera) {
  std::vector<MarkerSighting> sightings;
  sightings.reserve(markers.size());
  for (const LaidMarker& marker : markers) {
    sightings.push_back(sighting_of(marker, camera));
  }
  return sightings;
}

cv::Mat draw_sheet(const std::vector<LaidMarker>& markers, const Camera& camera,
                   double ground_light) {
  const auto dictionary = cv::aruco::getPredefinedDictionary(cv::aruco::DICT_4X4_50);
  constexpr int kCells = 6;
  std::vector<cv::Mat> cells(markers.size());
  for (std::size_t m = 0; m < markers.size(); ++m) {
    cv::aruco::drawMarker(dictionary, markers[m].id, kCells, cells[m], 1);
  }
  const auto light_at = [&](const Point& board_mm) {
    for (std::size_t m = 0; m < markers.size(); ++m) {
      const Point own = to_marker(markers[m], board_mm);
      const double off = own.cwiseAbs().maxCoeff();
      if (off < 1.0) {
        const int column = static_cast<int>(0.5 * kCells * (own.x() + 1.0));
        const int row = static_cast<int>(0.5 * kCells * (1.0 - own.y()));
        return cells[m].at<std::uint8_t>(std::min(row, kCells - 1), std::min(column, kCells - 1)) >
                       0
                   ? 0.8
                   : 0.03;
      }
      if (off < kPaper) {
        return 0.8;
      }
    }
    return ground_light;
  };
  cv::Mat light =
      plain_light(camera.width, camera.height, Light::all(static_cast<float>(ground_light)));
  for (int y = 0; y < light.rows; ++y) {
    for (int x = 0; x < light.cols; ++x) {
      const Point at = camera.on_board(Point(x, y));
      bool near = false;
      for (const LaidMarker& marker : markers) {
        near = near || (at - marker.centre_mm).norm() < 0.8 * kPaper * marker.width_mm + 3.0;
      }
      if (!near) {
        continue;
      }
      double sum = 0.0;
      for (int j = 0; j < kRays; ++j) {
        for (int i = 0; i < kRays; ++i) {
          sum += light_at(
              camera.on_board(Point(x - 0.5 + (i + 0.5) / kRays, y - 0.5 + (j + 0.5) / kRays)));
        }
      }
      light.at<Light>(y, x) = Light::all(static_cast<float>(sum / (kRays * kRays)));
    }
  }
  return light;
}

}  // namespace maturity::made
