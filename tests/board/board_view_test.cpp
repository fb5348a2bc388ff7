#include <gtest/gtest.h>

#include <Eigen/Dense>
#include <cmath>

#include "libmaturity/board/board.h"
#include "libmaturity/board/fit_camera.h"
#include "tests/board/sheet_photo.h"

namespace maturity {
namespace {

// The map of the unit square onto (100,120) (420,90) (460,380) (80,340), coefficients as fractions
// (COMPUTED x2: the 8 x 8 system in rationals; two projective bases).
Eigen::Matrix3d square_map() {
  Eigen::Matrix3d h;
  h << 40980.0 / 181, -16700.0 / 543, 100, -9060.0 / 181, 94640.0 / 543, 120, -121.0 / 543,
      -73.0 / 543, 1;
  return h;
}

// A pinhole that makes this map: the two conditions on the columns of a rotation are linear in the
// principal point and in u0^2 + v0^2 + f^2 (Zhang 2000, IEEE PAMI 22:1330, from memory); u0 is
// free; a picture cut out beside the axis, as this one, has it outside.
BoardView view_of(const Eigen::Matrix3d& h, double u0) {
  const Eigen::Vector3d p = h.col(0);
  const Eigen::Vector3d q = h.col(1);
  Eigen::Matrix2d m;
  m << -(p.y() * q.z() + p.z() * q.y()), p.z() * q.z(), -2 * (p.y() * p.z() - q.y() * q.z()),
      p.z() * p.z() - q.z() * q.z();
  const Eigen::Vector2d right(u0 * (p.x() * q.z() + p.z() * q.x()) - p.x() * q.x() - p.y() * q.y(),
                              2 * u0 * (p.x() * p.z() - q.x() * q.z()) - p.head<2>().squaredNorm() +
                                  q.head<2>().squaredNorm());
  const Eigen::Vector2d solution = m.inverse() * right;
  const double v0 = solution(0);
  const double f2 = solution(1) - u0 * u0 - v0 * v0;
  EXPECT_GT(f2, 0.0);
  BoardView view;
  view.focal_px = std::sqrt(f2);
  view.principal_px = {u0, v0};
  Eigen::Matrix3d k;
  k << view.focal_px, 0, u0, 0, view.focal_px, v0, 0, 0, 1;
  Eigen::Matrix3d columns = k.inverse() * h;
  columns /= columns.col(0).norm();
  view.origin_in_camera_mm = columns.col(2);
  view.camera_from_board << columns.col(0), columns.col(1), columns.col(0).cross(columns.col(1));
  return view;
}

TEST(BoardView, TheUnitSquareGoesWhereItsHomographySends) {
  const BoardView view = view_of(square_map(), -600.0);
  const auto image = [&](double x, double y) {
    return view.image_from_board(Eigen::Vector3d(x, y, 0.0));
  };
  EXPECT_NEAR((image(0, 0) - Point(100, 120)).norm(), 0.0, 1e-9);
  EXPECT_NEAR((image(1, 0) - Point(420, 90)).norm(), 0.0, 1e-9);
  EXPECT_NEAR((image(1, 1) - Point(460, 380)).norm(), 0.0, 1e-9);
  EXPECT_NEAR((image(0, 1) - Point(80, 340)).norm(), 0.0, 1e-9);
  // The crossing of the diagonals, which is not the mean of the corners.
  const Point centre(53710.0 / 223, 49445.0 / 223);
  EXPECT_NEAR((image(0.5, 0.5) - centre).norm(), 0.0, 1e-9);
  EXPECT_GT((image(0.5, 0.5) - Point(265, 232.5)).norm(), 20.0);
  const Point back = view.board_from_image(Point(300, 200));
  EXPECT_NEAR(back.x(), 0.668408505361, 1e-10);
  EXPECT_NEAR(back.y(), 0.415890308916, 1e-10);
  // Pixels per unit square at the centre; the finite pixel costs a little.
  EXPECT_NEAR(std::pow(view.mm_per_px(centre), -2), 84734.6392785, 2.0);
}

TEST(BoardView, ImageAndBoardAreInverse) {
  for (const double tilt : {0.0, 7.0, 14.0}) {
    const made::Camera camera = made::camera_at({850.0, tilt, 40.0, 130.0, {20, -10}});
    const auto view = fit_camera(made::sightings_of(made::sheet_markers(), camera), {},
                                 {camera.width, camera.height, 26.0});
    ASSERT_TRUE(view);
    for (const Point& p : {Point(0, 0), Point(180, -90), Point(-330, 240)}) {
      const Point px = view->image_from_board({p.x(), p.y(), 0.0});
      EXPECT_NEAR((view->board_from_image(px) - p).norm(), 0.0, 1e-8);
      EXPECT_NEAR((px - camera.project(p)).norm(), 0.0, 0.01) << "the drawing's own projection";
    }
    const Eigen::Vector3d camera_mm = view->camera_position();
    EXPECT_NEAR((camera_mm - camera.position).norm(), 0.0, 0.05);
  }
}

TEST(BoardView, WithoutMarkersThePictureIsItsOwnScale) {
  const BoardView view = assumed_view({4000, 3000, std::nullopt});
  EXPECT_FALSE(view.has_scale);
  EXPECT_EQ(view.markers_used, 0);
  EXPECT_NEAR(view.tilt_rad(), 0.0, 1e-12);
  EXPECT_NEAR(view.mm_per_px(view.principal_px), 1.0, 1e-12);
  EXPECT_NEAR(view.mm_per_px({10, 20}), 1.0, 1e-12);
  // x right, y up on the board.
  EXPECT_NEAR((view.board_from_image({1999.5, 1499.5}) - Point(0, 0)).norm(), 0.0, 1e-9);
  EXPECT_NEAR((view.board_from_image({2099.5, 1399.5}) - Point(100, 100)).norm(), 0.0, 1e-9);
  EXPECT_GE(view.height_relative_se, 0.05);
}

TEST(GuessFocal, IsTheFilmEquivalentByTheDiagonal) {
  // CIPA DC-008: the 35 mm equivalent compares diagonals; film has 43.27 mm.
  const FocalGuess known = guess_focal({4000, 3000, 26.0});
  EXPECT_NEAR(known.px, 26.0 / std::hypot(24.0, 36.0) * 5000.0, 1e-9);
  EXPECT_NEAR(guess_focal({3000, 4000, 26.0}).px, known.px, 1e-9);
  const FocalGuess unknown = guess_focal({4000, 3000, std::nullopt});
  EXPECT_GT(unknown.relative_se, 3.0 * known.relative_se);
}

}  // namespace
}  // namespace maturity
