#pragma once

#include <algorithm>
#include <string>
#include <vector>

#include "libmaturity/descriptors/describe_outline.h"
#include "tests/descriptors/rank_correlation.h"
#include "tests/shapes/one_cultivar.h"

namespace maturity::shapes {

/// A descriptor and the trait it is named after.
struct TraitPair {
  Descriptor descriptor;
  std::string trait;
};

inline const std::vector<TraitPair>& trait_pairs() {
  using D = Descriptor;
  static const std::vector<TraitPair> pairs = {{D::stem_hollow, "hollow"},
                                               {D::shoulder_fill_ventral, "shoulder_ventral"},
                                               {D::shoulder_fill_dorsal, "shoulder_dorsal"},
                                               {D::nose_fill, "nose"},
                                               {D::nose_roundness, "nose"},
                                               {D::beak_prominence, "beak"},
                                               {D::beak_curvature, "beak"},
                                               {D::sinus_depth, "sinus"},
                                               {D::end_balance, "taper"},
                                               {D::fourier_taper, "taper"},
                                               {D::elongation, "elongation"}};
  return pairs;
}

/// Described in the pose it was made in, without errors.
inline Descriptors with_true_pose(const InventedFruit& fruit) {
  DescribeOptions options;
  options.with_errors = false;
  options.evidence.given_stem = fruit.stem;
  options.evidence.given_nose = fruit.nose;
  options.evidence.given_ventral_side = fruit.ventral_side;
  return describe_outline(fruit.outline, options).descriptors;
}

inline std::vector<double> trait_of(const std::vector<TraitFruit>& fruit, const std::string& name) {
  std::vector<double> values;
  values.reserve(fruit.size());
  std::transform(fruit.begin(), fruit.end(), std::back_inserter(values),
                 [&](const TraitFruit& one) { return one.traits.at(name); });
  return values;
}

/// Rank correlation with a trait, and the same once all else that the fruit were drawn from is
/// taken out of both (partial: least squares on ranks and their squares).
struct TraitOrder {
  double plain = 0.0;
  double partial = 0.0;
};

TraitOrder order_by_trait(const std::vector<TraitFruit>& fruit, const std::string& trait,
                          const std::vector<double>& value);

}  // namespace maturity::shapes
