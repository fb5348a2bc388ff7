#pragma once

#include <array>
#include <cstdint>
#include <random>
#include <string>
#include <vector>

#include "libmaturity/descriptors/describe_outline.h"

namespace maturity::shapes {

/// A fruit whose pose is known.
struct PosedOutline {
  Polygon outline;
  Point stem = Point::Zero();
  Point nose = Point::Zero();
  int ventral_side = +1;
};

/// Outlines of one kind, some from each set: "season" (true sections of the sample season),
/// "superellipse", "curves" (one_cultivar.h), "egg", "ellipse". Another seed gives other fruit, but
/// for the season.
std::vector<PosedOutline> outlines_of(const std::string& kind, std::size_t count,
                                      std::uint64_t seed = 123);

/// What is drawn: an edge error of 0.1 mm, correlated over 3 mm, on fruit of about 120 mm.
inline constexpr double kDrawnSd = 0.1;
inline constexpr double kDrawnLength = 3.0;

using Errors = std::array<double, kDescriptorCount>;

/// For every descriptor: stated standard error and spread over noisy draws; NaN where undefined.
struct ErrorMatch {
  Errors stated{};
  /// What is stated for a thousandth of the edge error, times a thousand: first order alone.
  Errors first_order{};
  Errors drawn{};
  double length = 0.0;

  /// True when an error is 0.8 to 1.2 times the drawn one. A rise that stands at its limit
  /// 0 hardly moves: there both may be below a third of the edge error over the length.
  bool within(Descriptor descriptor, const Errors& some) const;
};

/// `find_pose`: the pose is sought in every draw; empty when it is not known by 0.98 to begin with.
std::vector<ErrorMatch> match_errors(const std::vector<PosedOutline>& fruit, int draws,
                                     bool find_pose, std::mt19937_64& random);

/// Share of the fruit on which the descriptor's error is within.
double share_within(const std::vector<ErrorMatch>& matches, Descriptor descriptor,
                    Errors ErrorMatch::*which = &ErrorMatch::stated);

}  // namespace maturity::shapes
