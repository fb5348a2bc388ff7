#pragma once

#include <cstdint>
#include <string>

#include "libmaturity/calibration/block_moments.h"
#include "tests/calibration/normal_draws.h"

namespace maturity::draws {

struct Truth {
  Eigen::VectorXd slopes;
  double slope_sd_between_blocks = 0.0;
  double residual_sd = 1.0;
  double block_sd = 1.0;
};

/// Invented fruit: independent standard normal descriptors, own slopes and level in each block.
inline ShapeTraining training(const Truth& truth, int blocks, int fruit, std::uint64_t seed) {
  RandomStream stream(seed);
  ShapeTraining training;
  const Eigen::Index p = truth.slopes.size();
  training.shape.resize(static_cast<Eigen::Index>(blocks) * fruit, p);
  for (Eigen::Index j = 0; j < p; ++j) {
    training.names.push_back("d" + std::to_string(j));
  }
  Eigen::Index row = 0;
  for (int b = 0; b < blocks; ++b) {
    const double level = 15.0 + truth.block_sd * normal(stream);
    Eigen::VectorXd slopes = truth.slopes;
    for (double& slope : slopes) {
      slope += truth.slope_sd_between_blocks * normal(stream);
    }
    for (int i = 0; i < fruit; ++i, ++row) {
      for (Eigen::Index j = 0; j < p; ++j) {
        training.shape(row, j) = normal(stream);
      }
      training.block.push_back("block " + std::to_string(b));
      training.oven.push_back(level + training.shape.row(row).dot(slopes) +
                              truth.residual_sd * normal(stream));
    }
  }
  return training;
}

}  // namespace maturity::draws
