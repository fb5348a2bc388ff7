#include "libmaturity/board/fit_camera.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>

#include "tests/board/sheet_photo.h"

namespace maturity {
namespace {

using made::Camera;
using made::camera_at;
using made::LaidMarker;
using made::sheet_markers;
using made::sightings_of;

std::optional<BoardView> fit(const std::vector<MarkerSighting>& sightings, const Camera& camera,
                             std::optional<double> focal_35mm = 26.0) {
  return fit_camera(sightings, {}, {camera.width, camera.height, focal_35mm});
}

double scale_of(const BoardView& view) { return view.mm_per_px(view.principal_px); }

double degrees(double rad) { return rad * 180.0 / std::numbers::pi; }

TEST(FitCamera, ExactCornersGiveTheCameraBack) {
  for (const double tilt : {0.0, 3.0, 9.0, 15.0}) {
    for (const double lean : {0.0, 70.0, 200.0}) {
      for (const double height : {650.0, 1400.0}) {
        const Camera camera = camera_at({height, tilt, lean, 25.0, {30, -20}});
        const auto view = fit(sightings_of(sheet_markers(), camera), camera);
        ASSERT_TRUE(view);
        EXPECT_TRUE(view->has_scale);
        EXPECT_EQ(view->markers_used, 4);
        EXPECT_NEAR(view->camera_position().z(), camera.position.z(), 1e-3 * height);
        EXPECT_NEAR(degrees(view->tilt_rad()), camera.tilt_deg(), 0.05);
        EXPECT_NEAR(scale_of(*view), camera.mm_per_px(), 1e-4 * camera.mm_per_px());
        EXPECT_NEAR(view->marker_misfit_mm, 0.0, 0.02);
        EXPECT_GT(view->scale_relative_se, 0.0);
        EXPECT_GT(view->height_relative_se, 0.0);
      }
    }
  }
}

TEST(FitCamera, AWrongFocalLengthMovesTheHeightWithinItsErrorAndTheScaleHardly) {
  for (const double wrong : {0.985, 1.015}) {
    for (const double tilt : {1.0, 10.0}) {
      Camera camera = camera_at({900.0, tilt, 30.0, 0.0, {0, 0}});
      camera.focal_px *= wrong;  // EXIF still says 26 mm
      const auto view = fit(sightings_of(sheet_markers(), camera), camera);
      ASSERT_TRUE(view);
      EXPECT_NEAR(scale_of(*view), camera.mm_per_px(), 2e-3 * camera.mm_per_px());
      EXPECT_NEAR(std::log(view->camera_position().z() / camera.position.z()), 0.0,
                  2.0 * view->height_relative_se);
    }
  }
}

TEST(FitCamera, WithoutExifTiltTellsTheFocalLength) {
  Camera level = camera_at({900.0, 0.5, 30.0, 0.0, {0, 0}});
  Camera tilted = camera_at({900.0, 14.0, 30.0, 0.0, {0, 0}});
  level.focal_px *= 1.12;
  tilted.focal_px *= 1.12;
  const auto guess = fit(sightings_of(sheet_markers(), level), level, std::nullopt);
  const auto seen = fit(sightings_of(sheet_markers(), tilted), tilted, std::nullopt);
  ASSERT_TRUE(guess && seen);
  EXPECT_LT(seen->height_relative_se, guess->height_relative_se);
  EXPECT_NEAR(std::log(guess->camera_position().z() / level.position.z()), 0.0,
              2.0 * guess->height_relative_se);
  EXPECT_NEAR(std::log(seen->camera_position().z() / tilted.position.z()), 0.0,
              2.0 * seen->height_relative_se);
  EXPECT_NEAR(scale_of(*guess), level.mm_per_px(), 2e-3 * level.mm_per_px());
}

// Markers taped by hand: every one off by a normal amount, and a corner noise of 0.1 px.
struct Taped {
  double coverage = 0.0;  // share of photos whose scale is within two standard errors
  double mean_se = 0.0;
  double spread = 0.0;  // of error over standard error
};

Taped tape(double sd_mm, int photos) {
  std::mt19937_64 random(4711);
  std::normal_distribution<double> normal;
  Taped result;
  double squares = 0.0;
  for (int i = 0; i < photos; ++i) {
    const Camera camera = camera_at({900.0,
                                     std::abs(4.0 * normal(random)),
                                     360.0 * normal(random),
                                     180.0 * normal(random),
                                     {0, 0}});
    auto markers = sheet_markers();
    for (LaidMarker& marker : markers) {
      const auto off = [&] { return std::clamp(sd_mm * normal(random), -5.0, 5.0); };
      marker.centre_mm += Point(off(), off());
      marker.turn_rad = 0.02 * normal(random);
    }
    auto sightings = sightings_of(markers, camera);
    for (MarkerSighting& s : sightings) {
      for (Point& p : s.corners_px) {
        p += 0.1 * Point(normal(random), normal(random));
      }
    }
    const auto view = fit(sightings, camera);
    if (!view) {
      ADD_FAILURE() << "no view";
      continue;
    }
    const double z = std::log(scale_of(*view) / camera.mm_per_px()) / view->scale_relative_se;
    result.coverage += (std::abs(z) < 2.0 ? 1.0 : 0.0) / photos;
    result.mean_se += view->scale_relative_se / photos;
    squares += z * z / photos;
  }
  result.spread = std::sqrt(squares);
  return result;
}

TEST(FitCamera, TheScaleErrorGrowsWithBadTaping) {
  double before = 0.0;
  for (const double sd : {0.2, 1.0, 2.0, 3.5}) {
    const Taped taped = tape(sd, 200);
    EXPECT_GT(taped.mean_se, 1.2 * before) << sd;
    before = taped.mean_se;
  }
  EXPECT_GE(tape(0.2, 200).coverage, 0.95) << "well taped";
}

TEST(FitCamera, TheScaleErrorCoversBadTaping) {
  for (const double sd : {1.0, 2.0, 3.5}) {
    const Taped taped = tape(sd, 400);
    SCOPED_TRACE("taped to " + std::to_string(sd) + " mm");
    // Some five degrees of freedom tell the taping: Student's t is within 2 in 90 of 100.
    EXPECT_GE(taped.coverage, 0.88);
    EXPECT_LT(taped.spread, 1.2);
    EXPECT_GT(taped.spread, 0.7);
  }
}

TEST(FitCamera, MeasuredDistancesReplaceTheSheets) {
  auto markers = sheet_markers();
  for (LaidMarker& m : markers) {
    m.centre_mm = m.centre_mm.cwiseProduct(Point(412.0 / 400.0, 291.0 / 300.0));
  }
  const Camera camera = camera_at({900.0, 4.0, 10.0, 0.0, {0, 0}});
  const auto sightings = sightings_of(markers, camera);
  const auto told =
      fit_camera(sightings, {40.0, 412.0, 291.0}, {camera.width, camera.height, 26.0});
  const auto untold = fit(sightings, camera);
  ASSERT_TRUE(told && untold);
  EXPECT_NEAR(scale_of(*told), camera.mm_per_px(), 1e-4 * camera.mm_per_px());
  EXPECT_LT(told->marker_misfit_mm, 0.1);
  EXPECT_GT(untold->marker_misfit_mm, 1.0);
  EXPECT_GT(untold->scale_relative_se, told->scale_relative_se);
}

TEST(FitCamera, OneMarkerIsEnoughForAScaleWithALargerError) {
  for (const double tilt : {0.0, 6.0}) {
    const Camera camera = camera_at({900.0, tilt, 100.0, 15.0, {0, 0}});
    const auto all = sightings_of(sheet_markers(), camera);
    const auto four = fit(all, camera);
    ASSERT_TRUE(four);
    for (std::size_t i = 0; i < 4; ++i) {
      const auto one = fit({all.at(i)}, camera);
      ASSERT_TRUE(one);
      EXPECT_TRUE(one->has_scale);
      EXPECT_EQ(one->markers_used, 1);
      EXPECT_GT(one->scale_relative_se, 1.5 * four->scale_relative_se);
      EXPECT_NEAR(std::log(scale_of(*one) / camera.mm_per_px()), 0.0, 2.0 * one->scale_relative_se);
    }
  }
}

TEST(FitCamera, MarkersTurnedByQuartersChangeNothing) {
  const Camera camera = camera_at({900.0, 5.0, 100.0, 15.0, {0, 0}});
  const auto straight = fit(sightings_of(sheet_markers(), camera), camera);
  auto markers = sheet_markers();
  markers[0].quarters = 1;
  markers[1].quarters = 3;
  markers[3].quarters = 2;
  const auto turned = fit(sightings_of(markers, camera), camera);
  ASSERT_TRUE(straight && turned);
  EXPECT_EQ(turned->markers_used, 4);
  EXPECT_NEAR(scale_of(*turned), scale_of(*straight), 1e-6);
  EXPECT_NEAR(turned->scale_relative_se, straight->scale_relative_se, 1e-6);
  EXPECT_NEAR((turned->camera_position() - straight->camera_position()).norm(), 0.0, 1e-3);
}

TEST(FitCamera, ATurnedMarkerAmongThreeDoesNotSpoilTheScale) {
  const Camera camera = camera_at({900.0, 3.0, 100.0, 15.0, {0, 0}});
  for (int quarters = 1; quarters <= 3; ++quarters) {
    auto markers = sheet_markers();
    markers.pop_back();
    markers[1].quarters = quarters;
    const auto view = fit(sightings_of(markers, camera), camera);
    ASSERT_TRUE(view);
    EXPECT_NEAR(std::log(scale_of(*view) / camera.mm_per_px()), 0.0, 3.0 * view->scale_relative_se)
        << quarters;
    EXPECT_NEAR(scale_of(*view), camera.mm_per_px(), 0.03 * camera.mm_per_px()) << quarters;
  }
}

TEST(FitCamera, AMarkerThatLiesElsewhereIsLeftOut) {
  const Camera camera = camera_at({900.0, 3.0, 100.0, 15.0, {0, 0}});
  auto markers = sheet_markers();
  markers[2].centre_mm = {60, 20};
  const auto view = fit(sightings_of(markers, camera), camera);
  ASSERT_TRUE(view);
  EXPECT_EQ(view->markers_used, 3);
  EXPECT_NEAR(scale_of(*view), camera.mm_per_px(), 0.003 * camera.mm_per_px());
}

TEST(FitCamera, WithoutASheetMarkerThereIsNoView) {
  const Camera camera = camera_at({});
  EXPECT_FALSE(fit({}, camera));
  LaidMarker tile;
  tile.id = 12;
  EXPECT_FALSE(fit({made::sighting_of(tile, camera)}, camera));
}

TEST(FitCamera, AMirroredSheetIsNoBoardSeenFromAbove) {
  const Camera camera = camera_at({900.0, 5.0, 100.0, 15.0, {0, 0}});
  auto sightings = sightings_of(sheet_markers(), camera);
  for (MarkerSighting& s : sightings) {
    for (Point& p : s.corners_px) {
      p.x() = camera.width - 1 - p.x();
    }
  }
  EXPECT_FALSE(fit(sightings, camera));
}

}  // namespace
}  // namespace maturity
