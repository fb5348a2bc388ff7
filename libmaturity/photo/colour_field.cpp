#include "libmaturity/photo/colour_field.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <utility>

#include "libmaturity/photo/box_shrink.h"

namespace maturity {

namespace {

// Darkest light told apart from black: sensor noise and flare sit there (linear, 1 = white).
constexpr double kFloor = 0.004;
constexpr int kTableSize = 1024;

// log(linear light + floor) of a gamma-coded value 0..255 (sRGB curve, IEC 61966-2-1, from memory).
const std::array<float, kTableSize>& log_light_table() {
  static const std::array<float, kTableSize> kTable = [] {
    std::array<float, kTableSize> table{};
    for (std::size_t i = 0; i < table.size(); ++i) {
      const double v = static_cast<double>(i) / (kTableSize - 1);
      const double linear = v <= 0.04045 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4);
      table.at(i) = static_cast<float>(std::log(linear + kFloor));
    }
    return table;
  }();
  return kTable;
}

// Where in the table a gamma-coded value stands, from below 0 to above 255 as the colour matrix
// leads.
int table_place(float code) {
  const float position = code * (static_cast<float>(kTableSize - 1) / 255.0F);
  constexpr float kHalf = 0.5F;  // lround is a call; below 0 both end at 0
  return static_cast<int>(
      std::min(std::max(position + kHalf, 0.0F), static_cast<float>(kTableSize - 1)));
}

cv::Mat upright(const cv::Mat& stored, int orientation) {
  cv::Mat out;
  switch (orientation) {
    case 2:
      cv::flip(stored, out, 1);
      return out;
    case 3:
      cv::rotate(stored, out, cv::ROTATE_180);
      return out;
    case 4:
      cv::flip(stored, out, 0);
      return out;
    case 5:
      cv::transpose(stored, out);
      return out;
    case 6:
      cv::rotate(stored, out, cv::ROTATE_90_CLOCKWISE);
      return out;
    case 7:
      cv::transpose(stored, out);
      cv::rotate(out, out, cv::ROTATE_180);
      return out;
    case 8:
      cv::rotate(stored, out, cv::ROTATE_90_COUNTERCLOCKWISE);
      return out;
    default:
      return stored;
  }
}

// The small copy of the stored planes: the remainder of a side that is no whole number of boxes is
// left out at the right and lower edge of the upright photo, so that turned copies of a photo give
// the same field.
BoxGrid grid_of(const Photo& photo, int longest) {
  const ImageView& luma = photo.planes().luma;
  const int side = std::max(luma.width, luma.height);
  BoxGrid grid;
  grid.factor = std::max(1, (side + longest - 1) / longest);
  grid.factor = std::min({grid.factor, luma.width, luma.height});
  grid.width = luma.width / grid.factor;
  grid.height = luma.height / grid.factor;
  const int turn = photo.facts().orientation;
  const bool from_right = turn == 2 || turn == 3 || turn == 7 || turn == 8;
  const bool from_below = turn == 3 || turn == 4 || turn == 6 || turn == 7;
  grid.x0 = from_right ? luma.width - grid.width * grid.factor : 0;
  grid.y0 = from_below ? luma.height - grid.height * grid.factor : 0;
  return grid;
}

cv::Mat picture_of(std::vector<std::uint8_t>& pixels, const BoxGrid& grid, int turn) {
  return upright(cv::Mat(grid.height, grid.width, CV_8UC1, pixels.data()), turn);
}

// Where the colours of a row stand in the table of light. Places of a whole row first: without the
// look-up in between the compiler takes several at once.
class RowOfPlaces {
 public:
  explicit RowOfPlaces(std::size_t width)
      : red_(width), green_(width), blue_(width), luma_(width) {}

  std::size_t width() const { return luma_.size(); }

  void set(const std::uint8_t* y, const std::uint8_t* blue, const std::uint8_t* red) {
    const std::size_t columns = width();
    for (std::size_t x = 0; x < columns; ++x) {
      const auto luma = static_cast<float>(y[x]);
      const float cb = static_cast<float>(blue[x]) - 128.0F;
      const float cr = static_cast<float>(red[x]) - 128.0F;
      // JFIF: full-range YCbCr of ITU-R BT.601.
      red_[x] = table_place(luma + 1.402F * cr);
      green_[x] = table_place(luma - 0.344136F * cb - 0.714136F * cr);
      blue_[x] = table_place(luma + 1.772F * cb);
      luma_[x] = table_place(luma);
    }
  }

  void fill(ColourField& field, std::size_t begin) const {
    const std::array<float, kTableSize>& log_light = log_light_table();
    const auto look_up = [&](int place) { return log_light[static_cast<std::size_t>(place)]; };
    for (std::size_t x = 0; x < width(); ++x) {
      const float log_r = look_up(red_[x]);
      const float log_g = look_up(green_[x]);
      field.yellow[begin + x] = 0.5F * (log_r + log_g) - look_up(blue_[x]);
      field.green[begin + x] = log_g - log_r;
      field.light[begin + x] = look_up(luma_[x]);
    }
  }

 private:
  std::vector<int> red_;
  std::vector<int> green_;
  std::vector<int> blue_;
  std::vector<int> luma_;
};

ColourField field_of(const Photo& photo, const BoxGrid& grid, std::vector<std::uint8_t> light) {
  const Photo::Planes& planes = photo.planes();
  const int turn = photo.facts().orientation;
  const int unit_x = planes.colour_shrink_x;
  const int unit_y = planes.colour_shrink_y;
  std::vector<std::uint8_t> blue = box_shrink(planes.blue, unit_x, unit_y, grid);
  std::vector<std::uint8_t> red = box_shrink(planes.red, unit_x, unit_y, grid);
  const cv::Mat y = picture_of(light, grid, turn);
  const cv::Mat b = picture_of(blue, grid, turn);
  const cv::Mat r = picture_of(red, grid, turn);
  ColourField field;
  field.width = y.cols;
  field.height = y.rows;
  field.step_x = field.step_y = static_cast<double>(grid.factor);
  const auto count = static_cast<std::size_t>(y.cols) * static_cast<std::size_t>(y.rows);
  field.yellow.resize(count);
  field.green.resize(count);
  field.light.resize(count);
  RowOfPlaces places(static_cast<std::size_t>(y.cols));
  for (int row = 0; row < y.rows; ++row) {
    places.set(y.ptr<std::uint8_t>(row), b.ptr<std::uint8_t>(row), r.ptr<std::uint8_t>(row));
    places.fill(field, static_cast<std::size_t>(row) * places.width());
  }
  return field;
}

GreyField grey_of(const Photo& photo, const BoxGrid& grid, std::vector<std::uint8_t> luma) {
  const cv::Mat y = picture_of(luma, grid, photo.facts().orientation);
  GreyField field;
  field.width = y.cols;
  field.height = y.rows;
  field.step_x = field.step_y = static_cast<double>(grid.factor);
  field.pixels.assign(y.datastart, y.dataend);
  return field;
}

}  // namespace

ColourField colour_field(const Photo& photo, int longest) {
  const BoxGrid grid = grid_of(photo, longest);
  return field_of(photo, grid, box_shrink(photo.planes().luma, 1, 1, grid));
}

ColourField half_size(const ColourField& field) {
  ColourField half;
  half.width = std::max(1, field.width / 2);
  half.height = std::max(1, field.height / 2);
  half.step_x = field.step_x * field.width / half.width;
  half.step_y = field.step_y * field.height / half.height;
  const auto shrink_plane = [&](const std::vector<float>& plane) {
    const cv::Mat full(field.height, field.width, CV_32FC1,
                       const_cast<float*>(plane.data()));  // NOLINT: read only
    std::vector<float> out(static_cast<std::size_t>(half.width) *
                           static_cast<std::size_t>(half.height));
    cv::Mat target(half.height, half.width, CV_32FC1, out.data());
    cv::resize(full, target, target.size(), 0, 0, cv::INTER_AREA);
    return out;
  };
  half.yellow = shrink_plane(field.yellow);
  half.green = shrink_plane(field.green);
  half.light = shrink_plane(field.light);
  return half;
}

GreyField grey_field(const Photo& photo, int longest) {
  const BoxGrid grid = grid_of(photo, longest);
  return grey_of(photo, grid, box_shrink(photo.planes().luma, 1, 1, grid));
}

SmallCopies small_copies(const Photo& photo, int grey_longest, int colour_longest) {
  const BoxGrid grey = grid_of(photo, grey_longest);
  const BoxGrid colour = grid_of(photo, colour_longest);
  auto luma = box_shrink_twice(photo.planes().luma, {grey, colour});
  return {grey_of(photo, grey, std::move(luma[0])), field_of(photo, colour, std::move(luma[1]))};
}

}  // namespace maturity
