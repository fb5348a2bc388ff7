#include "libmaturity/board/board.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

namespace maturity {

Point BoardView::image_from_board(const Eigen::Vector3d& board_mm) const {
  const Eigen::Vector3d c = camera_from_board * board_mm + origin_in_camera_mm;
  return principal_px + focal_px * Point(c.x() / c.z(), c.y() / c.z());
}

Point BoardView::board_from_image(const Point& image_px) const {
  const Eigen::Vector3d ray((image_px.x() - principal_px.x()) / focal_px,
                            (image_px.y() - principal_px.y()) / focal_px, 1.0);
  const Eigen::Vector3d direction = camera_from_board.transpose() * ray;
  const Eigen::Vector3d camera = camera_position();
  const double t = -camera.z() / direction.z();
  return {camera.x() + t * direction.x(), camera.y() + t * direction.y()};
}

Eigen::Vector3d BoardView::camera_position() const {
  return -(camera_from_board.transpose() * origin_in_camera_mm);
}

double BoardView::tilt_rad() const {
  // Angle between the line of sight and the board's downward normal.
  return std::acos(std::clamp(-camera_from_board(2, 2), -1.0, 1.0));
}

double BoardView::mm_per_px(const Point& image_px) const {
  const Point right =
      board_from_image(image_px + Point(0.5, 0)) - board_from_image(image_px - Point(0.5, 0));
  const Point down =
      board_from_image(image_px + Point(0, 0.5)) - board_from_image(image_px - Point(0, 0.5));
  return std::sqrt(std::abs(right.x() * down.y() - right.y() * down.x()));
}

}  // namespace maturity
