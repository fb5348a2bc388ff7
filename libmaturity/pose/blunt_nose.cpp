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
/// Lines are searched this many at a time, and there are so many blocks of them.
constexpr std::size_t kAbreast = 64;
constexpr std::size_t kBlocks = 8;
constexpr std::size_t kLines = kAbreast * kBlocks;

/// One number for each line of a block.
using Abreast = std::array<float, kAbreast>;

struct ErrorBlock {
  std::array<Abreast, kLine> edge{};
  Abreast stem{};
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

/// Lines of errors of variance 1, correlated exp(-s^2 / 2) at s correlation lengths; every second
/// one is the one before it, back to front.
std::vector<ErrorBlock> error_blocks() {
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
  std::vector<ErrorBlock> blocks(kBlocks);
  for (std::size_t line = 0; line < kLines; line += 2) {
    ErrorBlock& block = blocks[line / kAbreast];
    const std::size_t lane = line % kAbreast;
    std::array<double, kLine + 2 * kReach> alone{};
    for (double& one : alone) {
      one = normal();
    }
    for (std::size_t j = 0; j < kLine; ++j) {
      double sum = 0.0;
      for (std::size_t k = 0; k < kernel.size(); ++k) {
        sum += kernel[k] * alone[j + k];
      }
      const auto error = static_cast<float>(sum / std::sqrt(squares));
      block.edge[j][lane] = error;
      block.edge[kLine - 1 - j][lane + 1] = error;
    }
    block.stem[lane] = static_cast<float>(normal());
    block.stem[lane + 1] = -block.stem[lane];
  }
  return blocks;
}

/// The edge about the nose, at the places of a line of errors.
class Nose {
 public:
  Nose(const OutlineTraits& traits, const Pose& pose, double nose_sd, const EdgeNoise& noise)
      : sd_(static_cast<float>(noise.sd)) {
    constexpr double kReach = 4.5;
    constexpr std::size_t kFewest = 3;
    // Errors that go together all the way round: no place lies farther than half of it.
    const double apart = std::min(std::max(noise.correlation_length, traits.step) / kPerLength,
                                  0.5 * traits.perimeter / static_cast<double>(kFewest + 1));
    const auto half_way = static_cast<std::size_t>(0.5 * traits.perimeter / apart);
    half_ = std::clamp(static_cast<std::size_t>(std::ceil(kReach * nose_sd / apart)), kFewest,
                       std::min(kHalfLine, std::max(half_way, kFewest)));
    const std::size_t nose = nearest_point(traits.points, pose.nose);
    const std::size_t stem = nearest_point(traits.points, pose.stem);
    const Point across(-pose.axis.y(), pose.axis.x());
    const Point stem_along =
        (traits.points[traits.at(stem, 1)] - traits.points[traits.at(stem, -1)]).normalized();
    distance_ = (pose.nose - pose.stem).norm();
    turn_by_stem_ = static_cast<float>(-stem_along.dot(across) / distance_);
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
      away_[j] = static_cast<float>(away - distance_);
      by_stem_[j] = static_cast<float>(-stem_along.dot(p) / away);
      turn_[j] = static_cast<float>(std::atan2(p.dot(across), p.dot(pose.axis)));
    }
  }

  std::size_t size() const { return 2 * half_ + 1; }
  /// The turn from one place to the next, about the middle.
  double turn_apart() const { return turn_[half_ + 1] - turn_[half_]; }

  /// The turns with the nose where it is farthest from a stem that slid so far, and the errors
  /// there.
  struct Found {
    Abreast turn;
    Abreast error;
  };
  Found find(const ErrorBlock& block, const Abreast& stem) const {
    Abreast most;
    Abreast top{};
    for (std::size_t lane = 0; lane < kAbreast; ++lane) {
      most[lane] = away_[0] + stem[lane] * by_stem_[0] + sd_ * block.edge[kHalfLine - half_][lane];
    }
    for (std::size_t j = 1; j < size(); ++j) {
      const auto place = static_cast<float>(j);
      const float level = away_[j];
      const float by_stem = by_stem_[j];
      const Abreast& errors = block.edge[kHalfLine - half_ + j];
      // Three loops without branches, so that lines go abreast in the machine too.
      Abreast here;
      Abreast more;
      for (std::size_t lane = 0; lane < kAbreast; ++lane) {
        here[lane] = level + stem[lane] * by_stem + sd_ * errors[lane];
      }
      for (std::size_t lane = 0; lane < kAbreast; ++lane) {
        more[lane] = here[lane] > most[lane] ? 1.0F : 0.0F;
      }
      for (std::size_t lane = 0; lane < kAbreast; ++lane) {
        top[lane] += more[lane] * (place - top[lane]);
        most[lane] += more[lane] * (here[lane] - most[lane]);
      }
    }
    Found found;
    for (std::size_t lane = 0; lane < kAbreast; ++lane) {
      const auto j = static_cast<std::size_t>(top[lane]);
      found.turn[lane] = turn_[j] + turn_by_stem_ * stem[lane];
      found.error[lane] = block.edge[kHalfLine - half_ + j][lane];
    }
    return found;
  }

 private:
  float sd_;
  std::size_t half_ = 0;
  double distance_ = 0.0;
  float turn_by_stem_ = 0.0F;
  std::array<float, kLine> away_{};
  std::array<float, kLine> by_stem_{};
  std::array<float, kLine> turn_{};
};

using Turns = std::array<float, kLines>;

/// `apart`: the turns are rounded to so much.
TurnSpread spread_of(Turns& turns, double apart) {
  std::sort(turns.begin(), turns.end());
  constexpr double kCount = kLines;
  TurnSpread spread;
  for (const float turn : turns) {
    spread.mean += turn / kCount;
  }
  double fourth = 0.0;
  double variance = 0.0;
  for (const float turn : turns) {
    const double square = (turn - spread.mean) * (turn - spread.mean);
    variance += square / kCount;
    fourth += square * square / kCount;
  }
  constexpr std::size_t kEach = kLines / TurnSpread::kParts;
  double squares = 0.0;
  for (std::size_t part = 0; part < TurnSpread::kParts; ++part) {
    for (std::size_t k = 0; k < kEach; ++k) {
      spread.parts[part] += (turns[part * kEach + k] - spread.mean) / kEach;
    }
    squares += spread.parts[part] * spread.parts[part] / TurnSpread::kParts;
  }
  // Rounding adds its own variance (Sheppard, W. F. (1898), Proc. London Math. Soc. 29:353-380).
  spread.sd = std::sqrt(std::max(0.5 * variance, variance - apart * apart / 12.0));
  spread.fourth_moment = fourth / (variance * variance);
  for (double& part : spread.parts) {
    part /= std::sqrt(squares);
  }
  return spread;
}

}  // namespace

TurnSpread turn_on_blunt_nose(const OutlineTraits& traits, const Pose& pose, const StemMoves& stem,
                              double nose_sd, const EdgeNoise& noise) {
  static const std::vector<ErrorBlock> blocks = error_blocks();
  const Nose nose(traits, pose, nose_sd, noise);
  const auto stem_sd = static_cast<float>(stem.sd);
  const auto by_axis = static_cast<float>(stem.by_axis);
  Turns turns;
  std::size_t found = 0;
  double mean_error = 0.0;
  double square_error = 0.0;
  for (const ErrorBlock& block : blocks) {
    Abreast slid;
    for (std::size_t lane = 0; lane < kAbreast; ++lane) {
      slid[lane] = stem_sd * block.stem[lane];
    }
    const Nose::Found first = nose.find(block, slid);
    for (std::size_t lane = 0; lane < kAbreast; ++lane) {
      slid[lane] += by_axis * first.turn[lane];
    }
    const Nose::Found second = nose.find(block, slid);
    for (std::size_t lane = 0; lane < kAbreast; ++lane) {
      turns[found++] = second.turn[lane];
      const double error = second.error[lane];
      mean_error += error / kLines;
      square_error += error * error / kLines;
    }
  }
  TurnSpread spread = spread_of(turns, nose.turn_apart());
  spread.at_nose = std::min(1.0, square_error - mean_error * mean_error);
  return spread;
}

}  // namespace maturity
