#include "tests/photo/photo_files.h"

#include <array>
#include <cmath>
#include <exiv2/exiv2.hpp>
#include <opencv2/imgcodecs.hpp>
#include <stdexcept>

namespace maturity::made {

Bytes encode(const cv::Mat& picture, const std::string& kind, const std::vector<int>& options) {
  Bytes file;
  if (!cv::imencode(kind, picture, file, options)) {
    throw std::runtime_error("OpenCV could not write " + kind);
  }
  return file;
}

Bytes with_exif(const Bytes& file, const Exif& exif) {
  const auto image = Exiv2::ImageFactory::open(file.data(), static_cast<long>(file.size()));
  image->readMetadata();
  Exiv2::ExifData data = image->exifData();
  data["Exif.Image.Orientation"] = static_cast<std::uint16_t>(exif.orientation);
  if (exif.taken_at) {
    data["Exif.Photo.DateTimeOriginal"] = *exif.taken_at;
  }
  if (exif.focal_35mm) {
    data["Exif.Photo.FocalLengthIn35mmFilm"] = static_cast<std::uint16_t>(*exif.focal_35mm);
  }
  image->setExifData(data);
  image->writeMetadata();
  Exiv2::BasicIo& io = image->io();
  io.open();
  Bytes out(io.size());
  io.read(out.data(), static_cast<long>(out.size()));
  return out;
}

cv::Mat stored_for(const cv::Mat& upright, int orientation) {
  enum Side { kTop, kBottom, kLeft, kRight };
  struct Sides {
    Side row0;
    Side column0;
  };
  constexpr std::array<Sides, 8> kTable{{{kTop, kLeft},
                                         {kTop, kRight},
                                         {kBottom, kRight},
                                         {kBottom, kLeft},
                                         {kLeft, kTop},
                                         {kRight, kTop},
                                         {kRight, kBottom},
                                         {kLeft, kBottom}}};
  const Sides sides = kTable.at(static_cast<std::size_t>(orientation - 1));
  const bool sideways = sides.row0 == kLeft || sides.row0 == kRight;
  cv::Mat stored(sideways ? upright.cols : upright.rows, sideways ? upright.rows : upright.cols,
                 upright.type());
  for (int row = 0; row < stored.rows; ++row) {
    for (int column = 0; column < stored.cols; ++column) {
      int x = 0;
      int y = 0;
      const auto put = [&](Side side, int k) {
        if (side == kTop) {
          y = k;
        } else if (side == kBottom) {
          y = upright.rows - 1 - k;
        } else if (side == kLeft) {
          x = k;
        } else {
          x = upright.cols - 1 - k;
        }
      };
      put(sides.row0, row);
      put(sides.column0, column);
      stored.at<cv::Vec3b>(row, column) = upright.at<cv::Vec3b>(y, x);
    }
  }
  return stored;
}

cv::Mat lopsided_picture(int width, int height) {
  cv::Mat picture(height, width, CV_8UC3);
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) {
      const double u = static_cast<double>(x) / width;
      const double v = static_cast<double>(y) / height;
      const double corner = std::exp(-12.0 * (u * u + 2.0 * v * v));
      picture.at<cv::Vec3b>(y, x) = {cv::saturate_cast<std::uint8_t>(60.0 + 90.0 * v),
                                     cv::saturate_cast<std::uint8_t>(70.0 + 60.0 * u + 90 * corner),
                                     cv::saturate_cast<std::uint8_t>(40.0 + 120.0 * u * v)};
    }
  }
  return picture;
}

}  // namespace maturity::made
