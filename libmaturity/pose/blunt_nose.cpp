#include "libmaturity/pose/blunt_nose.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>
#include <vector>

#include "libmaturity/core/nearest_point.h"

namespace maturity {

namespace {

/// Places of a line of errors, half a correlation length apart.
constexpr std::size_t kHalfLine = 63;
constexpr std::size_t kLine = 2 * kHalfLine + 1;
constexpr double kPerLength = 2.0;
/// Each counts both ways round.
constexpr std::size_t kLines = 256;
using Turns = std::array<double, 2 * kLines>;

struct ErrorLine {
  std::array<double, kLine> edge{};
  double stem = 0.0;
};

/// Standard normal numbers, the same on every machine (Box, G. E. P. and Muller, M. E. (1958), Ann.
/// Math. Stat. 29:610-611).
class FixedNormal {
 public:
  double operator()() {
    const double radius = std::sqrt(-2.0 * std::log(uniform()));
    return radius * std::cos(2.0 * std::numbers::pi * uniform());
  }

 private:
  double uniform() { return (static_cast<double>(bits_() >> 11U) + 0.5) / 9007199254740992.0; }
  std::mt19937_64 bits_{20261126};
};

/// Lines of errors of variance 1, correlated exp(-s^2 / 2) at s correlation lengths.
std::vector<ErrorLine> error_lines() {
  // exp(-s^2) run over itself is that correlation.
  constexpr std::size_t kReach = 6;
  std::array<double, 2 * kReach + 1> kernel{};
  double squares = 0.0;
  for (std::size_t k = 0; k < kernel.size(); ++k) {
    const double s = (static_cast<double>(k) - static_cast<double>(kReach)) / kPerLength;
    kernel[k] = std::exp(-s * s);
    squares += kernel[k] * kernel[k];
  }
  FixedNormal normal;
  std::vector<ErrorLine> lines(kLines);
  for (ErrorLine& line : lines) {
    std::array<double, kLine + 2 * kReach> alone{};
    for (double& one : alone) {
      one = normal();
    }
    for (std::size_t j = 0; j < kLine; ++j) {
      for (std::size_t k = 0; k < kernel.size(); ++k) {
        line.edge[j] += kernel[k] / std::sqrt(squares) * alone[j + k];
      }
    }
    line.stem = normal();
  }
  return lines;
}

/// The edge about the nose, at the places of a line of errors.
class Nose {
 public:
  Nose(const OutlineTraits& traits, const Pose& pose, double nose_sd, const EdgeNoise& noise)
      : sd_(noise.sd) {
    constexpr double kReach = 6.0;
    const double apart = std::max(noise.correlation_length, traits.step) / kPerLength;
    half_ = std::clamp<std::size_t>(static_cast<std::size_t>(std::ceil(kReach * nose_sd / apart)),
                                    3, kHalfLine);
    const std::size_t nose = nearest_point(traits.points, pose.nose);
    const std::size_t stem = nearest_point(traits.points, pose.stem);
    const Point across(-pose.axis.y(), pose.axis.x());
    const Point stem_along =
        (traits.points[traits.at(stem, 1)] - traits.points[traits.at(stem, -1)]).normalized();
    distance_ = (pose.nose - pose.stem).norm();
    turn_by_stem_ = -stem_along.dot(across) / distance_;
    for (std::size_t j = 0; j < size(); ++j) {
      const double steps =
          (static_cast<double>(j) - static_cast<double>(half_)) * apart / traits.step;
      const double whole = std::floor(steps);
      const auto k = static_cast<std::ptrdiff_t>(whole);
      const Point a = traits.points[traits.at(nose, k)] - pose.stem;
      const Point b = traits.points[traits.at(nose, k + 1)] - pose.stem;
      const double share = steps - whole;
      // Distances, not points, in a straight line: a chord would lie inside the edge.
      const double away = (1.0 - share) * a.norm() + share * b.norm();
      const Point p = a + share * (b - a);
      away_[j] = away - distance_;
      by_stem_[j] = -stem_along.dot(p) / away;
      turn_[j] = std::atan2(p.dot(across), p.dot(pose.axis));
    }
  }

  std::size_t size() const { return 2 * half_ + 1; }

  /// The turn with the nose where it is farthest from a stem that slid so far.
  double turn(const ErrorLine& line, bool back, double stem) const {
    std::array<double, kLine> away;
    const std::size_t first = kHalfLine - half_;
    std::size_t top = 1;
    for (std::size_t j = 0; j < size(); ++j) {
      const double error = line.edge[back ? kLine - 1 - first - j : first + j];
      away[j] = away_[j] + stem * by_stem_[j] + sd_ * error;
    }
    for (std::size_t j = 2; j + 1 < size(); ++j) {
      top = away[j] > away[top] ? j : top;
    }
    const double fall = 2.0 * away[top] - away[top - 1] - away[top + 1];
    const double share =
        fall > 0.0 ? std::clamp(0.5 * (away[top + 1] - away[top - 1]) / fall, -0.5, 0.5) : 0.0;
    return turn_[top] + 0.5 * share * (turn_[top + 1] - turn_[top - 1]) + turn_by_stem_ * stem;
  }

 private:
  double sd_;
  std::size_t half_ = 0;
  double distance_ = 0.0;
  double turn_by_stem_ = 0.0;
  std::array<double, kLine> away_{};
  std::array<double, kLine> by_stem_{};
  std::array<double, kLine> turn_{};
};

TurnSpread spread_of(Turns& turns) {
  std::sort(turns.begin(), turns.end());
  constexpr double kCount = 2.0 * kLines;
  TurnSpread spread;
  for (const double turn : turns) {
    spread.mean += turn / kCount;
  }
  double fourth = 0.0;
  double variance = 0.0;
  for (const double turn : turns) {
    const double square = (turn - spread.mean) * (turn - spread.mean);
    variance += square / kCount;
    fourth += square * square / kCount;
  }
  constexpr std::size_t kEach = 2 * kLines / TurnSpread::kParts;
  double squares = 0.0;
  for (std::size_t part = 0; part < TurnSpread::kParts; ++part) {
    for (std::size_t k = 0; k < kEach; ++k) {
      spread.parts[part] += (turns[part * kEach + k] - spread.mean) / kEach;
    }
    squares += spread.parts[part] * spread.parts[part] / TurnSpread::kParts;
  }
  spread.sd = std::sqrt(variance);
  spread.fourth_moment = fourth / (variance * variance);
  for (double& part : spread.parts) {
    part /= std::sqrt(squares);
  }
  return spread;
}

}  // namespace

TurnSpread turn_on_blunt_nose(const OutlineTraits& traits, const Pose& pose, const StemMoves& stem,
                              double nose_sd, const EdgeNoise& noise) {
  static const std::vector<ErrorLine> lines = error_lines();
  const Nose nose(traits, pose, nose_sd, noise);
  Turns turns{};
  for (std::size_t i = 0; i < kLines; ++i) {
    for (const bool back : {false, true}) {
      const double slid = (back ? -stem.sd : stem.sd) * lines[i].stem;
      const double first = nose.turn(lines[i], back, slid);
      turns[2 * i + (back ? 1 : 0)] = nose.turn(lines[i], back, slid + stem.by_axis * first);
    }
  }
  return spread_of(turns);
}

}  // namespace maturity
