#include "libmaturity/outline/polar_boundary.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "libmaturity/outline/cyclic_path.h"
#include "libmaturity/outline/skin_evidence.h"

namespace maturity {

namespace {

constexpr double kInnerReach = 0.60;  // in units of the candidate's ellipse
constexpr double kOuterReach = 1.50;
constexpr double kRowStep = (kOuterReach - kInnerReach) / (kRows - 1);
constexpr int kMostJump = 3;  // rows per angle: a hooked beak still passes
constexpr float kStiffness = 0.35F;

SkinColour bilinear(const ColourField& field, double x, double y) {
  x = std::clamp(x, 0.0, static_cast<double>(field.width - 1));
  y = std::clamp(y, 0.0, static_cast<double>(field.height - 1));
  const int x0 = std::min(static_cast<int>(x), std::max(0, field.width - 2));
  const int y0 = std::min(static_cast<int>(y), std::max(0, field.height - 2));
  const auto fx = static_cast<float>(x - x0);
  const auto fy = static_cast<float>(y - y0);
  const std::size_t i = field.index(x0, y0);
  const auto w = static_cast<std::size_t>(field.width);
  const auto value = [&](const std::vector<float>& plane) {
    const float top = plane[i] + fx * (plane[i + 1] - plane[i]);
    const float bottom = plane[i + w] + fx * (plane[i + w + 1] - plane[i + w]);
    return top + fy * (bottom - top);
  };
  return colour_of(value(field.yellow), value(field.green), value(field.light));
}

struct PolarFrame {
  Point centre;
  Eigen::Matrix2d ellipse;  // unit circle to the ellipse of equal moments

  Point direction(int angle) const {
    const double t = 2.0 * std::numbers::pi * angle / kAngles;
    return ellipse * Point(std::cos(t), std::sin(t));
  }
  Point at(int angle, double reach) const { return centre + reach * direction(angle); }
};

PolarFrame frame_of(const Candidate& c) {
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d> eigen(c.spread);
  const Point axes = 2.0 * eigen.eigenvalues().cwiseMax(1e-9).cwiseSqrt();
  return {c.centre, eigen.eigenvectors() * axes.asDiagonal() * eigen.eigenvectors().transpose()};
}

PolarGrid sample_grid(const ColourField& field, const PolarFrame& frame,
                      const std::vector<std::uint16_t>& owners, std::uint16_t own) {
  PolarGrid grid(static_cast<std::size_t>(kAngles) * kRows);
  for (int a = 0; a < kAngles; ++a) {
    const Point direction = frame.direction(a);
    for (int r = 0; r < kRows; ++r) {
      const Point p = frame.centre + (kInnerReach + kRowStep * r) * direction;
      PolarSample& s = grid[static_cast<std::size_t>(a) * kRows + static_cast<std::size_t>(r)];
      s.outside =
          p.x() < -0.5 || p.y() < -0.5 || p.x() > field.width - 0.5 || p.y() > field.height - 0.5;
      s.value = bilinear(field, p.x(), p.y());
      const int x = std::clamp(static_cast<int>(std::lround(p.x())), 0, field.width - 1);
      const int y = std::clamp(static_cast<int>(std::lround(p.y())), 0, field.height - 1);
      const std::uint16_t owner = owners[field.index(x, y)];
      s.taken = owner != 0 && owner != own;
    }
  }
  return grid;
}

// Row at which each ray leaves the rough outline.
std::vector<int> rough_rows(const PolarFrame& frame, const Polygon& outline) {
  const Eigen::Matrix2d back = frame.ellipse.inverse();
  std::vector<double> reach(kAngles, 0.0);
  const std::size_t n = outline.size();
  // Walk the outline finely and keep the farthest reach per angle.
  for (std::size_t i = 0; i < n; ++i) {
    const Point a = back * (outline[i] - frame.centre);
    const Point b = back * (outline[(i + 1) % n] - frame.centre);
    constexpr int kParts = 8;
    for (int k = 0; k < kParts; ++k) {
      const Point p = a + (static_cast<double>(k) / kParts) * (b - a);
      double t = std::atan2(p.y(), p.x()) / (2.0 * std::numbers::pi) * kAngles;
      const int angle = ((static_cast<int>(std::lround(t)) % kAngles) + kAngles) % kAngles;
      reach[static_cast<std::size_t>(angle)] =
          std::max(reach[static_cast<std::size_t>(angle)], p.norm());
    }
  }
  std::vector<int> rows(kAngles);
  for (std::size_t a = 0; a < rows.size(); ++a) {
    const double r = reach[a] > 0.0 ? reach[a] : 1.0;
    rows[a] = std::clamp(static_cast<int>(std::lround((r - kInnerReach) / kRowStep)), 2, kRows - 3);
  }
  return rows;
}

std::vector<int> best_rows(const std::vector<double>& evidence) {
  std::vector<float> cost(evidence.size());
  for (int a = 0; a < kAngles; ++a) {
    const std::size_t base = static_cast<std::size_t>(a) * kRows;
    double outside = 0.0;
    for (std::size_t r = 0; r < kRows; ++r) {
      outside += evidence[base + r];
    }
    double inside = 0.0;
    for (std::size_t r = 0; r < kRows; ++r) {
      // Rim at row r: rows before it are skin, it and the rest are not.
      cost[base + r] = static_cast<float>(0.5 * (outside - inside) - 0.5 * inside);
      inside += evidence[base + r];
    }
  }
  return cheapest_closed_path(cost, kAngles, kRows, kMostJump, kStiffness);
}

// Takes off spikes a few angles wide: a stem that leaves the body. A beak is broader; what is taken
// off its tip is less than kSpikeRows and is left on.
std::vector<int> without_spikes(const std::vector<int>& rows) {
  constexpr int kHalfSpike = 2;
  constexpr int kSpikeRows = 3;
  const auto filter = [](const std::vector<int>& in, bool least) {
    std::vector<int> out(in.size());
    for (int a = 0; a < kAngles; ++a) {
      int best = in[static_cast<std::size_t>(a)];
      for (int k = -kHalfSpike; k <= kHalfSpike; ++k) {
        const int other = in[static_cast<std::size_t>((a + k + kAngles) % kAngles)];
        best = least ? std::min(best, other) : std::max(best, other);
      }
      out[static_cast<std::size_t>(a)] = best;
    }
    return out;
  };
  const std::vector<int> opened = filter(filter(rows, true), false);
  std::vector<int> result = rows;
  for (std::size_t a = 0; a < rows.size(); ++a) {
    if (rows[a] - opened[a] >= kSpikeRows) {
      // The flanks of the spike go with its top.
      for (int k = -kHalfSpike; k <= kHalfSpike; ++k) {
        const auto i = static_cast<std::size_t>((static_cast<int>(a) + k + kAngles) % kAngles);
        result[i] = opened[i];
      }
    }
  }
  return result;
}

Polygon smooth_outline(const PolarFrame& frame, const std::vector<int>& rows) {
  Polygon outline(kAngles);
  for (int a = 0; a < kAngles; ++a) {
    double sum = 0.0;
    double weight = 0.0;
    for (int k = -2; k <= 2; ++k) {
      const double w = std::exp(-0.5 * k * k);
      sum += w * rows[static_cast<std::size_t>((a + k + kAngles) % kAngles)];
      weight += w;
    }
    // The rim lies between the last skin sample and the first sample that is none.
    outline[static_cast<std::size_t>(a)] =
        frame.at(a, kInnerReach + kRowStep * (sum / weight - 0.5));
  }
  return outline;
}

}  // namespace

std::vector<SkinColour> background_sample(const ColourField& field,
                                          const std::vector<std::uint16_t>& owners) {
  constexpr int kEvery = 7;
  std::vector<SkinColour> colours;
  for (int y = 3; y < field.height; y += kEvery) {
    for (int x = 3; x < field.width; x += kEvery) {
      const std::size_t i = field.index(x, y);
      if (owners[i] == 0) {
        colours.push_back(colour_of(field.yellow[i], field.green[i], field.light[i]));
      }
    }
  }
  return colours;
}

Polygon polar_boundary(const ColourField& field, const Candidate& candidate,
                       const std::vector<std::uint16_t>& owners, std::uint16_t own,
                       const std::vector<SkinColour>& background) {
  const PolarFrame frame = frame_of(candidate);
  const PolarGrid grid = sample_grid(field, frame, owners, own);
  std::vector<int> rows = rough_rows(frame, candidate.outline);
  SkinEvidence skin(grid, background);
  constexpr int kRounds = 3;
  for (int round = 0; round < kRounds; ++round) {
    std::vector<int> better = best_rows(skin.with_rim(rows));
    if (better == rows) {
      break;
    }
    rows = std::move(better);
  }
  return smooth_outline(frame, without_spikes(rows));
}

}  // namespace maturity
