#include "libmaturity/board/first_view.h"

#include <Eigen/Dense>
#include <array>
#include <cmath>
#include <limits>
#include <utility>

#include "libmaturity/board/homography.h"

namespace maturity {

namespace {

BoardView view_from_homography(const Eigen::Matrix3d& h, double focal, const Point& principal) {
  Eigen::Matrix3d k_inverse = Eigen::Matrix3d::Identity();
  k_inverse(0, 0) = k_inverse(1, 1) = 1.0 / focal;
  k_inverse(0, 2) = -principal.x() / focal;
  k_inverse(1, 2) = -principal.y() / focal;
  Eigen::Matrix3d m = k_inverse * h;
  double scale = 0.5 * (m.col(0).norm() + m.col(1).norm());
  if (m(2, 2) < 0.0) {  // the board lies in front of the camera
    scale = -scale;
  }
  m /= scale;
  Eigen::Matrix3d r;
  r.col(0) = m.col(0);
  r.col(1) = m.col(1);
  r.col(2) = r.col(0).cross(r.col(1));
  const Eigen::JacobiSVD<Eigen::Matrix3d> svd(r, Eigen::ComputeFullU | Eigen::ComputeFullV);
  BoardView view;
  view.focal_px = focal;
  view.principal_px = principal;
  view.camera_from_board = svd.matrixU() * svd.matrixV().transpose();
  view.origin_in_camera_mm = m.col(2);
  return view;
}

}  // namespace

Point nominal_centre(int id, const BoardGeometry& g) {
  const double x = (id == 0 || id == 3 ? -0.5 : 0.5) * g.across_mm;
  const double y = (id == 0 || id == 1 ? 0.5 : -0.5) * g.down_mm;
  return {x, y};
}

Point nominal_corner(int id, std::size_t corner, const BoardGeometry& g) {
  const double h = 0.5 * g.marker_width_mm;
  const double sx = corner == 0 || corner == 3 ? -h : h;
  const double sy = corner == 0 || corner == 1 ? h : -h;
  return nominal_centre(id, g) + Point(sx, sy);
}

std::optional<BoardView> first_view(std::vector<SeenMarker>& seen, const BoardGeometry& geometry,
                                    double focal, const Point& principal) {
  std::vector<std::pair<Point, Point>> pairs;
  if (seen.size() == 4) {
    for (const SeenMarker& s : seen) {
      Point centre = Point::Zero();
      for (const Point& p : s.px) {
        centre += 0.25 * p;
      }
      pairs.emplace_back(nominal_centre(s.id, geometry), centre);
    }
    const Eigen::Matrix3d h = homography(pairs);
    for (SeenMarker& s : seen) {
      std::array<Point, 4> best = s.px;
      double least = std::numeric_limits<double>::infinity();
      for (std::size_t shift = 0; shift < 4; ++shift) {
        std::array<Point, 4> turned;
        double error = 0.0;
        for (std::size_t c = 0; c < 4; ++c) {
          turned.at(c) = s.px.at((c + shift) % 4);
          const Point expected =
              (h * nominal_corner(s.id, c, geometry).homogeneous()).hnormalized();
          error += (expected - turned.at(c)).squaredNorm();
        }
        if (error < least) {
          least = error;
          best = turned;
        }
      }
      s.px = best;
    }
  }
  pairs.clear();
  for (const SeenMarker& s : seen) {
    for (std::size_t c = 0; c < 4; ++c) {
      pairs.emplace_back(nominal_corner(s.id, c, geometry), s.px.at(c));
    }
  }
  const BoardView view = view_from_homography(homography(pairs), focal, principal);
  if (!view.origin_in_camera_mm.allFinite() || view.camera_position().z() <= 0.0) {
    return std::nullopt;
  }
  return view;
}

}  // namespace maturity
