#include "libmaturity/outline/edge_fit.h"

#include <Eigen/Core>
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "libmaturity/core/ring_index.h"
#include "libmaturity/outline/smooth_ring.h"
#include "libmaturity/photo/linear_light.h"

namespace maturity {

namespace {

constexpr int kRows = 10;  // to either side of the line
constexpr std::size_t kWindow = 2 * kRows + 1;
using Window = Eigen::Matrix<double, static_cast<int>(kWindow), 1>;

double normal_share(double z) { return 0.5 * std::erfc(-z * std::numbers::sqrt2 / 2.0); }

// A step of unit height, level on both sides, blurred by a bell: two fixed filters give, of any
// samples, its height and how far it lies off (first-order least squares; levels and height free).
struct StepFilter {
  Window height;
  Window shift;
  double weight;  // of the shift

  explicit StepFilter(double spread_rows) {
    Window step;
    for (int r = -kRows; r <= kRows; ++r) {
      const double z = r / spread_rows;
      step(r + kRows) = normal_share(-z);
      shift(r + kRows) = std::exp(-0.5 * z * z) / (spread_rows * std::sqrt(2.0 * std::numbers::pi));
    }
    step.array() -= step.mean();
    height = step / step.squaredNorm();
    shift.array() -= shift.mean();
    shift -= step * height.dot(shift);
    weight = shift.squaredNorm();
  }
};

// Samples around a line, on one direction.
struct Fit {
  double height;
  double shift;
};

// Least squares of shift x height, of luminance and colours.
struct ShiftSum {
  double product = 0.0;
  double square = 0.0;

  void add(const Fit& fit, double weight) {
    product += fit.height * fit.shift;
    square += weight * fit.height * fit.height;
  }
};

// Samples of every normal along one direction, the outermost ones repeated so that a window may
// reach beyond them.
class Columns {
 public:
  Columns(std::size_t count, std::size_t rows)
      : rows_(rows), length_(rows + 2 * kBeyond), values_(count * length_) {}

  template <typename Value>
  void fill(std::size_t i, Value value) {
    double* column = &values_[i * length_];
    for (std::size_t r = 0; r < rows_; ++r) {
      column[kBeyond + r] = value(r);
    }
    std::fill(column, column + kBeyond, column[kBeyond]);
    std::fill(column + kBeyond + rows_, column + length_, column[kBeyond + rows_ - 1]);
  }

  // The fit around a row between two samples.
  Fit fit(const StepFilter& filter, std::size_t i, double row) const {
    const double held = std::clamp(row, -1.0, static_cast<double>(rows_));
    const double whole = std::floor(held);
    const double share = held - whole;
    const double* from =
        &values_[i * length_ + kBeyond - kRows] + static_cast<std::ptrdiff_t>(whole);
    const Window window =
        (1.0 - share) * Eigen::Map<const Window>(from) + share * Eigen::Map<const Window>(from + 1);
    return {filter.height.dot(window), filter.shift.dot(window)};
  }

 private:
  static constexpr std::size_t kBeyond = kRows + 2;
  std::size_t rows_;
  std::size_t length_;
  std::vector<double> values_;
};

// Sums over neighbours, nearer ones more.
std::vector<Fit> with_neighbours(const std::vector<Fit>& fits) {
  constexpr std::size_t kReach = 3;
  constexpr std::array<double, 2 * kReach + 1> kShare{7.0 / 44,  12.0 / 44, 15.0 / 44, 16.0 / 44,
                                                      15.0 / 44, 12.0 / 44, 7.0 / 44};
  const std::size_t n = fits.size();
  std::vector<Fit> sums(n, Fit{0.0, 0.0});
  for (std::size_t i = 0; i < n; ++i) {
    std::size_t j = ring_before(i, kReach, n);
    for (const double share : kShare) {
      sums[i].height += share * fits[j].height;
      sums[i].shift += share * fits[j].shift;
      j = ring_next(j, n);
    }
  }
  return sums;
}

// Lags of all normals; neighbours share their colours, so every fourth is enough.
std::vector<double> colour_lags(const std::vector<Parting>& parted) {
  constexpr std::size_t kEvery = 4;
  const std::size_t n = parted.size();
  std::vector<double> lags(n);
  for (std::size_t i = 0; i < n; i += kEvery) {
    const double lag = colour_lag(parted[i]);
    std::fill(lags.begin() + static_cast<std::ptrdiff_t>(i),
              lags.begin() + static_cast<std::ptrdiff_t>(std::min(n, i + kEvery)), lag);
  }
  return lags;
}

}  // namespace

double colour_lag(const Parting& parted) {
  constexpr double kMost = 1.5;
  constexpr std::size_t kShares = 16;
  constexpr int kParts = kShares - 1;
  constexpr double kReach = 3.0;  // standard deviations to either side
  constexpr double kWidth = 2.0 * kReach / kParts;
  static const std::array<double, kShares> kShareAt = [] {
    std::array<double, kShares> shares{};
    for (std::size_t k = 0; k < kShares; ++k) {
      shares.at(k) = normal_share(kReach - static_cast<double>(k) * kWidth);
    }
    return shares;
  }();
  const Light inside = rgb_of_planes(parted.inside);
  const Light outside = rgb_of_planes(parted.outside);
  const auto colour = [&](double share) {
    const Light mixed = planes_of_rgb(share * inside + (1.0 - share) * outside);
    return mixed.tail<2>().dot(parted.direction.tail<2>());
  };
  const double first = colour(kShareAt.front());
  double before = first;
  double moment = 0.0;
  for (int k = 0; k < kParts; ++k) {
    const double after = colour(kShareAt.at(static_cast<std::size_t>(k) + 1));
    moment += (before - after) * (-kReach + (k + 0.5) * kWidth);
    before = after;
  }
  const double fall = first - before;
  return std::abs(fall) > 1e-9 ? std::clamp(moment / fall, -kMost, kMost) : 0.0;
}

std::vector<double> fit_edge(const Rays& rays, const std::vector<RowRange>& ranges,
                             std::vector<double> line_px, const std::vector<double>& weights,
                             int half_window, const EdgeForm& form) {
  constexpr double kLumaNoise2 = 4e-5;
  constexpr double kColourCodes = 2.0;  // coarse rounding, and what it takes beside an edge
  constexpr double kColourNoise2 = kColourCodes * kColourCodes / (255.0 * 255.0);
  constexpr int kRounds = 2;
  constexpr double kMostRows = 2.0;  // from where it was: the foot of a stem is no edge
  // A colour pixel's box and reading between two of them add to the width of a step.
  const double colour_px2 = 0.125 * (form.colour_shrink.squaredNorm() - 2.0);
  const double spread_px = std::clamp(form.spread_px, 0.5, 2.5);
  const double spread_rows = spread_px / rays.step;
  const StepFilter luma_step(spread_rows);
  const StepFilter colour_step(std::sqrt(spread_px * spread_px + colour_px2) / rays.step);
  const std::vector<Parting> parted =
      part_sides(rays.planes, ranges, rays.rows, {kLumaNoise2, kColourNoise2, kColourNoise2});
  const std::vector<double> lags = colour_lags(parted);
  const std::vector<double> first_px = line_px;
  Columns luma_columns(rays.count, rays.rows);
  Columns colour_columns(rays.count, rays.rows);
  for (std::size_t i = 0; i < rays.count; ++i) {
    const Light* column = &rays.planes[i * rays.rows];
    const Light& w = parted[i].direction;
    luma_columns.fill(i, [&](std::size_t r) { return w.x() * column[r].x(); });
    colour_columns.fill(
        i, [&](std::size_t r) { return w.y() * column[r].y() + w.z() * column[r].z(); });
  }
  std::vector<Fit> luma(rays.count);
  std::vector<Fit> colour(rays.count);
  for (int round = 0; round < kRounds; ++round) {
    for (std::size_t i = 0; i < rays.count; ++i) {
      const double row = (line_px[i] + rays.half) / rays.step;
      luma[i] = luma_columns.fit(luma_step, i, row);
      colour[i] = colour_columns.fit(colour_step, i, row + spread_rows * lags[i]);
    }
    const std::vector<Fit> lumas = with_neighbours(luma);
    const std::vector<Fit> colours = with_neighbours(colour);
    for (std::size_t i = 0; i < rays.count; ++i) {
      ShiftSum sum;
      sum.add(lumas[i], luma_step.weight);
      sum.add(colours[i], colour_step.weight);
      const double shift = sum.square > 1e-9 ? sum.product / sum.square : 0.0;
      const double most = kMostRows * rays.step;
      line_px[i] =
          std::clamp(line_px[i] + rays.step * shift, first_px[i] - most, first_px[i] + most);
    }
    line_px = smooth_ring(line_px, weights, half_window);
  }
  return line_px;
}

}  // namespace maturity
