#pragma once

#include <string>
#include <vector>

#include "tests/descriptors/trait_pairs.h"

namespace maturity::shapes {

/// Descriptors that the first list of this project named; all others of the registry were added.
const std::vector<Descriptor>& listed_descriptors();
std::vector<Descriptor> added_descriptors();

/// How much better one more descriptor, beside all listed ones, foretells what a fruit was drawn
/// from: shares of the variance of ranks, by linear regression on other fruit (five folds).
struct InformationGain {
  /// Where it helps most; found on one half of the fruit, the figures are of the other.
  std::string trait;
  double listed_only = 0.0;
  double gain = 0.0;
  double gain_se = 0.0;
};

InformationGain information_gain(Descriptor added, const std::vector<TraitFruit>& fruit,
                                 const std::vector<Descriptors>& measured);

/// Measured in the pose they were made in, edges off by `sd_mm` on a fruit of 120 mm (3 mm
/// correlation length).
std::vector<Descriptors> measured_with_noise(const std::vector<TraitFruit>& fruit, double sd_mm,
                                             std::mt19937_64& random);

}  // namespace maturity::shapes
