#include "tests/descriptors/extra_information.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "tests/shapes/edge_waves.h"

namespace maturity::shapes {

namespace {

using Vector = Eigen::VectorXd;
using Matrix = Eigen::MatrixXd;

constexpr int kFolds = 5;

Vector standard(const std::vector<double>& values) {
  Vector v = Eigen::Map<const Vector>(values.data(), static_cast<Eigen::Index>(values.size()));
  v.array() -= v.mean();
  const double sd = std::sqrt(v.squaredNorm() / static_cast<double>(v.size()));
  return sd > 0.0 ? Vector(v / sd) : v;
}

Matrix columns_of(const std::vector<Descriptors>& measured, const std::vector<Descriptor>& which) {
  Matrix x(static_cast<Eigen::Index>(measured.size()), static_cast<Eigen::Index>(which.size()) + 1);
  for (std::size_t c = 0; c < which.size(); ++c) {
    std::vector<double> values;
    values.reserve(measured.size());
    std::transform(measured.begin(), measured.end(), std::back_inserter(values),
                   [&](const Descriptors& one) { return one[which[c]]; });
    x.col(static_cast<Eigen::Index>(c)) = standard(values);
  }
  x.col(x.cols() - 1).setOnes();
  return x;
}

// Squared errors of each fruit, foretold from the other folds.
Vector squared_errors(const Matrix& x, const Vector& y) {
  constexpr double kRidge = 1e-6;  // shoulder_fill is the mean of two others
  Vector errors(y.size());
  for (int fold = 0; fold < kFolds; ++fold) {
    Matrix normal = kRidge * Matrix::Identity(x.cols(), x.cols());
    Vector right = Vector::Zero(x.cols());
    for (Eigen::Index i = 0; i < y.size(); ++i) {
      if (i % kFolds != fold) {
        normal += x.row(i).transpose() * x.row(i);
        right += x.row(i).transpose() * y(i);
      }
    }
    const Vector slopes = normal.ldlt().solve(right);
    for (Eigen::Index i = fold; i < y.size(); i += kFolds) {
      errors(i) = std::pow(y(i) - x.row(i).dot(slopes), 2);
    }
  }
  return errors;
}

struct Half {
  std::vector<TraitFruit> fruit;
  Matrix listed;
  Matrix with_added;
};

Half half_of(std::size_t which, Descriptor added, const std::vector<TraitFruit>& fruit,
             const std::vector<Descriptors>& measured) {
  std::vector<Descriptors> rows;
  Half half;
  for (std::size_t i = which; i < fruit.size(); i += 2) {
    half.fruit.push_back(fruit[i]);
    rows.push_back(measured[i]);
  }
  std::vector<Descriptor> columns = listed_descriptors();
  half.listed = columns_of(rows, columns);
  columns.push_back(added);
  half.with_added = columns_of(rows, columns);
  return half;
}

InformationGain gain_for(const Half& half, const std::string& trait) {
  const Vector y = standard(ranks(trait_of(half.fruit, trait)));
  const Vector without = squared_errors(half.listed, y);
  const Vector less = without - squared_errors(half.with_added, y);
  const auto count = static_cast<double>(y.size());
  const double spread = (less.array() - less.mean()).square().sum() / (count - 1.0);
  return {trait, 1.0 - without.mean(), less.mean(), std::sqrt(spread / count)};
}

}  // namespace

const std::vector<Descriptor>& listed_descriptors() {
  using D = Descriptor;
  static const std::vector<Descriptor> listed = {
      D::elongation,     D::shoulder_fill_ventral, D::shoulder_fill_dorsal, D::shoulder_fill,
      D::stem_hollow,    D::shoulder_rise_ventral, D::shoulder_rise_dorsal, D::nose_fill,
      D::nose_roundness, D::beak_prominence,       D::beak_curvature,       D::sinus_depth,
      D::end_balance};
  return listed;
}

std::vector<Descriptor> added_descriptors() {
  std::vector<Descriptor> added;
  for (const DescriptorInfo& info : descriptor_registry()) {
    const std::vector<Descriptor>& listed = listed_descriptors();
    if (std::find(listed.begin(), listed.end(), info.descriptor) == listed.end()) {
      added.push_back(info.descriptor);
    }
  }
  return added;
}

InformationGain information_gain(Descriptor added, const std::vector<TraitFruit>& fruit,
                                 const std::vector<Descriptors>& measured) {
  const Half first = half_of(0, added, fruit, measured);
  InformationGain best;
  for (const auto& [trait, value] : fruit.front().traits) {
    const InformationGain here = gain_for(first, trait);
    if (best.trait.empty() || here.gain > best.gain) {
      best = here;
    }
  }
  return gain_for(half_of(1, added, fruit, measured), best.trait);
}

std::vector<Descriptors> measured_with_noise(const std::vector<TraitFruit>& fruit, double sd_mm,
                                             std::mt19937_64& random) {
  std::vector<Descriptors> measured;
  measured.reserve(fruit.size());
  for (const TraitFruit& one : fruit) {
    InventedFruit seen = one.fruit;
    const double mm = (seen.nose - seen.stem).norm() / 120.0;
    constexpr double kCorrelationMm = 3.0;
    seen.outline = EdgeWaves(one.fruit.outline, kCorrelationMm * mm).draw(sd_mm * mm, random);
    measured.push_back(with_true_pose(seen));
  }
  return measured;
}

}  // namespace maturity::shapes
