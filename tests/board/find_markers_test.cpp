#include "libmaturity/board/find_markers.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "libmaturity/board/fit_camera.h"
#include "tests/board/sheet_photo.h"
#include "tests/photo/drawn_photo.h"
#include "tests/photo/photo_files.h"

namespace maturity {
namespace {

using made::Camera;
using made::camera_at;
using made::LaidMarker;
using made::sheet_markers;

cv::Mat sheet_codes(const std::vector<LaidMarker>& markers, const Camera& camera, double blur_px,
                    std::uint64_t seed = 5) {
  cv::Mat light = made::draw_sheet(markers, camera);
  made::blur(light, blur_px);
  return made::bgr_codes(light, 1.5, seed);
}

double worst_corner(const std::vector<MarkerSighting>& found,
                    const std::vector<LaidMarker>& markers, const Camera& camera) {
  double worst = 0.0;
  for (const MarkerSighting& s : found) {
    for (const LaidMarker& m : markers) {
      if (m.id == s.id) {
        const MarkerSighting truth = made::sighting_of(m, camera);
        for (std::size_t c = 0; c < 4; ++c) {
          worst = std::max(worst, (s.corners_px.at(c) - truth.corners_px.at(c)).norm());
        }
      }
    }
  }
  return worst;
}

TEST(FindMarkers, CornersLieWithinAThirdOfAPixel) {
  const auto markers = sheet_markers();
  for (const double tilt : {0.0, 10.0}) {
    for (const double blur : {0.4, 0.9, 1.4}) {
      const Camera camera = camera_at({900.0, tilt, 60.0, 12.0, {10, 15}});
      const auto found = find_markers(made::photo_of(sheet_codes(markers, camera, blur)));
      ASSERT_EQ(found.size(), 4U);
      for (int id = 0; id < 4; ++id) {
        EXPECT_EQ(found.at(static_cast<std::size_t>(id)).id, id);
      }
      EXPECT_LT(worst_corner(found, markers, camera), 0.33) << "tilt " << tilt << " blur " << blur;
    }
  }
}

TEST(FindMarkers, HeightTiltAndScaleComeOutWithinTheirErrors) {
  const auto markers = sheet_markers();
  for (const made::Stand& stand :
       {made::Stand{800.0, 0.0, 0.0, 0.0, {0, 0}}, made::Stand{1000.0, 4.0, 80.0, 90.0, {30, 0}},
        made::Stand{1200.0, 8.0, 200.0, 200.0, {0, -40}},
        made::Stand{900.0, 14.0, 310.0, -35.0, {-20, 20}}}) {
    const Camera camera = camera_at(stand);
    const auto found = find_markers(made::photo_of(sheet_codes(markers, camera, 0.7)));
    const auto view = fit_camera(found, {}, {camera.width, camera.height, 26.0});
    ASSERT_TRUE(view);
    EXPECT_EQ(view->markers_used, 4);
    const double scale = std::log(view->mm_per_px(view->principal_px) / camera.mm_per_px());
    const double height = std::log(view->camera_position().z() / camera.position.z());
    EXPECT_LT(std::abs(scale), 2.0 * view->scale_relative_se);
    EXPECT_LT(std::abs(scale), 0.001);
    EXPECT_LT(std::abs(height), 2.0 * view->height_relative_se);
    EXPECT_NEAR(view->tilt_rad() * 57.29577951, camera.tilt_deg(), 0.4);
    EXPECT_LT(view->scale_relative_se, 0.004);
  }
}

TEST(FindMarkers, TheSameForEveryOrientationOfTheFile) {
  const Camera camera = camera_at({900.0, 6.0, 60.0, 12.0, {10, 15}}, 1200, 900);
  const cv::Mat upright = sheet_codes(sheet_markers(), camera, 0.7);
  const auto expected = find_markers(made::photo_of(upright));
  ASSERT_EQ(expected.size(), 4U);
  for (int orientation = 2; orientation <= 8; ++orientation) {
    const auto found =
        find_markers(made::photo_of(made::stored_for(upright, orientation), orientation));
    ASSERT_EQ(found.size(), 4U) << orientation;
    for (std::size_t i = 0; i < 4; ++i) {
      for (std::size_t c = 0; c < 4; ++c) {
        EXPECT_NEAR((found[i].corners_px.at(c) - expected[i].corners_px.at(c)).norm(), 0.0, 1e-6)
            << orientation;
      }
    }
  }
}

TEST(FindMarkers, OnAMirroredPhotoThereIsNoBoard) {
  const Camera camera = camera_at({900.0, 3.0, 60.0, 12.0, {10, 15}});
  cv::Mat mirrored;
  cv::flip(sheet_codes(sheet_markers(), camera, 0.7), mirrored, 1);
  const auto found = find_markers(made::photo_of(mirrored));
  EXPECT_FALSE(fit_camera(found, {}, {camera.width, camera.height, 26.0}));
}

TEST(FindMarkers, AnEmptyBoardHasNone) {
  EXPECT_TRUE(
      find_markers(made::photo_of_light(made::plain_light(800, 600, made::Light::all(0.4F)), 2.0))
          .empty());
}

TEST(FindMarkers, ASheetMarkerSeenTwiceIsLeftOutATileIsKept) {
  auto markers = sheet_markers();
  markers.push_back({2, {30, -60}, 40.0, 0.0, 0});
  markers.push_back({11, {-60, 0}, 30.0, 0.3, 0});
  markers.push_back({11, {60, 60}, 30.0, 0.0, 0});
  const Camera camera = camera_at({850.0, 2.0, 0.0, 0.0, {0, 0}});
  const auto found = find_markers(made::photo_of(sheet_codes(markers, camera, 0.7)));
  const auto count = [&](int id) {
    return std::count_if(found.begin(), found.end(),
                         [&](const MarkerSighting& s) { return s.id == id; });
  };
  EXPECT_EQ(count(0), 1);
  EXPECT_EQ(count(2), 0);
  EXPECT_EQ(count(11), 2);
}

TEST(FindMarkers, EdgeWidthTellsBlurAndItsDirection) {
  const Camera camera = camera_at({850.0, 0.0, 0.0, 0.0, {0, 0}});
  cv::Mat light = made::draw_sheet(sheet_markers(), camera);
  const auto widths = [&](const cv::Mat& drawn) {
    const auto found = find_markers(made::photo_of_light(drawn, 1.0));
    EXPECT_EQ(found.size(), 4U);
    return found.empty() ? std::array<double, 2>{} : found[0].edge_width_px;
  };
  cv::Mat soft = light.clone();
  made::blur(soft, 1.3);
  cv::Mat moved;
  cv::blur(light, moved, {7, 1});  // the hand moved along x during the exposure
  const auto sharp_widths = widths(light);
  const auto soft_widths = widths(soft);
  const auto moved_widths = widths(moved);
  EXPECT_GT(soft_widths[0], 1.5 * sharp_widths[0]);
  EXPECT_NEAR(soft_widths[0], 2.563 * 1.3, 0.6);
  EXPECT_NEAR(soft_widths[0], soft_widths[1], 0.3);
  EXPECT_GT(std::max(moved_widths[0], moved_widths[1]),
            2.0 * std::min(moved_widths[0], moved_widths[1]));
}

TEST(FindMarkers, OnALargePhotoHalfAPixelIsNoticed) {
  // The bar bites: markers half a pixel away are told apart.
  const Camera camera = camera_at({1000.0, 4.0, 20.0, 7.0, {0, 0}}, 3200, 2400);
  cv::Mat light = made::draw_sheet(sheet_markers(), camera);
  made::blur(light, 1.0);
  const auto found = find_markers(made::photo_of_light(light, 1.5));
  ASSERT_EQ(found.size(), 4U);
  EXPECT_LT(worst_corner(found, sheet_markers(), camera), 0.33);
  auto shifted = sheet_markers();
  for (LaidMarker& m : shifted) {
    m.centre_mm += Point(0.3, 0.0);  // half a pixel
  }
  EXPECT_GT(worst_corner(found, shifted, camera), 0.36);
}

}  // namespace
}  // namespace maturity
