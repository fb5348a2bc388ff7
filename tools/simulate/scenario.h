#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "libmaturity/readiness/block_data.h"

namespace maturity::simulate {

/// Spread of fruit in a block and repeat error of one oven value, % dry matter.
inline constexpr double kFruitSd = 1.342;
inline constexpr double kOvenSd = 0.15;

/// Descriptors of every fruit; correlation 0.5^|i-j|, standard normal in the block.
inline constexpr int kDescriptors = 5;
/// Slope of each descriptor for which shape explains variance 1.
double unit_slope();

enum class Spread { normal, left_skew, right_skew, two_humps, flat };
enum class OvenChoice { at_random, first_per_tree, by_shape };

/// An invented block and the way it is sampled. Five descriptors, correlated 0.5^|i-j|, a fifth of
/// their variance between trees.
struct Scenario {
  std::string name;
  std::string what;
  int trees = 15;
  /// Photographed fruit per tree; 0: one to six, drawn.
  int fruit_per_tree = 3;
  int oven = 15;
  OvenChoice choice = OvenChoice::first_per_tree;
  /// The meter on all fruit that are not in the oven, and on the oven fruit too.
  bool metered = false;
  double meter_bias = 0.0;
  double meter_slope = 1.0;
  double meter_sd = 1.0;
  /// Every so many trees are read with another meter instead; 0: none. Its bias, slope and error.
  int second_every = 0;
  double second_bias = 0.0;
  double second_slope = 1.0;
  double second_sd = 1.0;
  /// It never read a fruit that went into the oven.
  bool second_unchecked = false;
  /// Share of the variance of dry matter that shape explains, and of the rest that trees explain.
  double explained = 0.3;
  double between_trees = 0.2;
  double spread_sd = 1.342;
  /// How far the link of dry matter to shape is bent; positive: low fruit fall away.
  double curve = 0.0;
  Spread spread = Spread::normal;
};

/// Scenarios of well-behaved blocks, and those that break an assumption of the model.
std::vector<Scenario> plain_scenarios();
std::vector<Scenario> awkward_scenarios();
/// Scenarios of blocks read with two meters.
std::vector<Scenario> meter_scenarios();

/// One sampled block whose truth is known.
struct Drawn {
  BlockData data;
  double true_mean = 0.0;
  double true_share = 0.0;
};

/// Draws blocks of a scenario around a minimum of `kMinimum`; each replicate has its own seed.
class Sampler {
 public:
  Sampler(const Scenario& scenario, std::uint64_t seed);

  /// The true share is given, or drawn (mean 0.3 to 2.2 spreads above the minimum).
  Drawn draw(int replicate) const;
  Drawn draw(int replicate, double true_share) const;
  /// The true mean lies so many spreads above the minimum.
  Drawn draw_with_mean(int replicate, double level) const;

 private:
  Drawn draw_at(int replicate, double level) const;
  double share_above(double z) const;

  Scenario scenario_;
  std::uint64_t seed_;
  /// Standardised dry matter of many fruit, sorted: what share lies above z.
  std::vector<double> population_;
};

/// Dry matter asked for in every scenario, %.
inline constexpr double kMinimum = 15.0;

}  // namespace maturity::simulate
