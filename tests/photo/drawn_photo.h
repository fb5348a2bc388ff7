#pragma once

#include <cstdint>
#include <functional>
#include <opencv2/core.hpp>

#include "libmaturity/core/polygon.h"
#include "libmaturity/photo/photo.h"

namespace maturity::made {

/// Linear light of a surface: red, green, blue, 0..1.
using Light = cv::Vec3f;

/// A plain ground of that light, to draw on (CV_32FC3, red first).
cv::Mat plain_light(int width, int height, const Light& ground);

/// Paints everything for which `inside` holds, each pixel in the share of its area that is inside
/// (8 x 8 samples; shapes are smooth and several pixels wide): pixels mix light, as a sensor does.
/// Pixel (i, j) covers i +/- 1/2, j +/- 1/2. `shade`: factor on the light at a point, 1 where not
/// given.
void paint(cv::Mat& light, const std::function<bool(const Point&)>& inside, const Light& colour,
           const std::function<double(const Point&)>& shade = {});

/// Optical blur, a Gaussian with that standard deviation in px.
void blur(cv::Mat& light, double sd_px);

/// sRGB codes with noise (standard deviation in codes), 8 bit BGR.
cv::Mat bgr_codes(const cv::Mat& light, double noise_codes = 0.0, std::uint64_t seed = 1);

/// The photo of these codes, as decode() would give it from a lossless file.
Photo photo_of(const cv::Mat& bgr, int orientation = 1);

inline Photo photo_of_light(const cv::Mat& light, double noise_codes = 0.0,
                            std::uint64_t seed = 1) {
  return photo_of(bgr_codes(light, noise_codes, seed));
}

}  // namespace maturity::made
