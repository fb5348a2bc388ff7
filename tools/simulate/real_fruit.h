#pragma once

#include <vector>

#include "libmaturity/stats/random_stream.h"
#include "tools/simulate/real_pairs.h"

namespace maturity::simulate {

/// How a block is made of a population's fruit.
enum class FruitKind {
  /// These fruit, each as often as it is drawn. Their share moves in steps of one fruit.
  own,
  /// What they are a sample of: a normal kernel about each fruit (width 1.06 SD n^(-1/5), Silverman
  /// 1986, from memory), drawn in so that mean and SD stay. Has a share of any size, and the
  /// population's lean less the chance of 40 fruit.
  smoothed,
  /// Normal with their mean and SD, a meter with a straight line and normal errors.
  made_normal
};

/// True dry matter of a fruit and its reading, %.
struct FruitPair {
  double oven = 0.0;
  double meter = 0.0;
};

/// Fruit of one population and instrument, with the meter's own line and errors.
class FruitSource {
 public:
  FruitSource(const Population& group, FruitKind kind);

  double mean() const { return mean_; }
  /// Share of the fruit at or above a minimum.
  double share(double minimum) const;
  /// The minimum that this share reaches; of `own` fruit the nearest share not above it.
  double minimum(double share) const;
  FruitPair draw(RandomStream& random) const;

 private:
  FruitKind kind_;
  MeterFacts facts_;
  double mean_ = 0.0;
  double sd_ = 0.0;
  double mean_reading_ = 0.0;
  /// Width of the kernel, and what the smoothed fruit are drawn in by.
  double kernel_ = 0.0;
  double drawn_in_ = 1.0;
  /// By fruit, least first: its dry matter, and its readings.
  std::vector<double> oven_;
  std::vector<std::vector<double>> readings_;
};

/// A normal number, by the inverse distribution function.
double normal_number(RandomStream& random);

}  // namespace maturity::simulate
