#include "tests/photo/drawn_photo.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <utility>
#include <vector>

namespace maturity::made {

namespace {

constexpr int kFine = 8;

// sRGB curve, IEC 61966-2-1 (from memory), written anew here.
double code_of(double light) {
  const double v = std::clamp(light, 0.0, 1.0);
  return 255.0 * (v <= 0.0031308 ? 12.92 * v : 1.055 * std::pow(v, 1.0 / 2.4) - 0.055);
}

}  // namespace

cv::Mat plain_light(int width, int height, const Light& ground) {
  return {height, width, CV_32FC3,
          cv::Scalar(static_cast<double>(ground[0]), static_cast<double>(ground[1]),
                     static_cast<double>(ground[2]))};
}

void paint(cv::Mat& light, const std::function<bool(const Point&)>& inside, const Light& colour,
           const std::function<double(const Point&)>& shade) {
  for (int y = 0; y < light.rows; ++y) {
    for (int x = 0; x < light.cols; ++x) {
      int hits = 0;
      const int corners =
          (inside(Point(x - 0.5, y - 0.5)) ? 1 : 0) + (inside(Point(x + 0.5, y - 0.5)) ? 1 : 0) +
          (inside(Point(x - 0.5, y + 0.5)) ? 1 : 0) + (inside(Point(x + 0.5, y + 0.5)) ? 1 : 0);
      if (corners == 4) {
        hits = kFine * kFine;
      } else if (corners > 0 || inside(Point(x, y))) {
        for (int j = 0; j < kFine; ++j) {
          for (int i = 0; i < kFine; ++i) {
            const Point at(x - 0.5 + (i + 0.5) / kFine, y - 0.5 + (j + 0.5) / kFine);
            hits += inside(at) ? 1 : 0;
          }
        }
      }
      if (hits > 0) {
        const auto share = static_cast<float>(hits) / (kFine * kFine);
        const auto factor = shade ? static_cast<float>(shade(Point(x, y))) : 1.0F;
        auto& pixel = light.at<Light>(y, x);
        pixel = pixel * (1.0F - share) + colour * (share * factor);
      }
    }
  }
}

void blur(cv::Mat& light, double sd_px) {
  if (sd_px > 0.0) {
    cv::GaussianBlur(light, light, {0, 0}, sd_px, sd_px, cv::BORDER_REPLICATE);
  }
}

cv::Mat bgr_codes(const cv::Mat& light, double noise_codes, std::uint64_t seed) {
  cv::Mat codes(light.rows, light.cols, CV_8UC3);
  cv::RNG random(seed);
  for (int y = 0; y < light.rows; ++y) {
    for (int x = 0; x < light.cols; ++x) {
      const auto& in = light.at<Light>(y, x);
      auto& out = codes.at<cv::Vec3b>(y, x);
      for (int c = 0; c < 3; ++c) {
        const double noise = noise_codes > 0.0 ? random.gaussian(noise_codes) : 0.0;
        out[2 - c] = cv::saturate_cast<std::uint8_t>(code_of(static_cast<double>(in[c])) + noise);
      }
    }
  }
  return codes;
}

Photo photo_of(const cv::Mat& bgr, int orientation) {
  cv::Mat ycc;
  cv::cvtColor(bgr, ycc, cv::COLOR_BGR2YCrCb);
  const auto area = static_cast<std::size_t>(bgr.cols) * static_cast<std::size_t>(bgr.rows);
  std::vector<std::uint8_t> buffer(3 * area);
  std::size_t k = 0;
  for (int y = 0; y < ycc.rows; ++y) {
    for (int x = 0; x < ycc.cols; ++x, ++k) {
      const auto& pixel = ycc.at<cv::Vec3b>(y, x);
      buffer[k] = pixel[0];
      buffer[area + k] = pixel[2];
      buffer[2 * area + k] = pixel[1];
    }
  }
  const auto view = [&](std::size_t plane) {
    return ImageView{buffer.data() + plane * area, bgr.cols, bgr.rows, bgr.cols, 1};
  };
  const Photo::Planes planes{view(0), view(1), view(2), 1, 1};
  CameraFacts facts;
  facts.orientation = orientation;
  return {std::move(buffer), planes, facts};
}

}  // namespace maturity::made
