#include "libmaturity/readiness/meter_slope.h"

#include <gtest/gtest.h>

#include <Eigen/Cholesky>
#include <cmath>
#include <cstddef>
#include <stdexcept>
#include <string>
#include <vector>

#include "libmaturity/readiness/variance_grid.h"
#include "tests/readiness/block_cases.h"

namespace maturity {
namespace {

/// A block read by a meter of slope `slope` and bias 1: oven on every third of 60 fruit of 20
/// trees.
BlockData drawn_with_slope(double slope) {
  std::vector<cases::Row> rows;
  for (int i = 0; i < 60; ++i) {
    // Even spread without random numbers: golden-ratio steps through a uniform of SD 1.3.
    const double step = std::fmod(0.6180339887 * (i + 1), 1.0) - 0.5;
    const double truth = 16.5 + 4.5 * step;
    const double error = std::fmod(0.7548776662 * (i + 1), 1.0) - 0.5;
    rows.push_back({1 + i / 3,
                    {},
                    i % 3 == 0 ? truth : cases::kMissing,
                    16.5 + slope * (truth - 16.5) + 1.0 + 2.0 * error});
  }
  return cases::block_of(rows);
}

GridModel model_of_pairs(const BlockData& data, int meter_points) {
  GridModel model;
  for (std::size_t i = 0; i < data.tree.size(); ++i) {
    model.rows.tree.push_back(std::stoi(data.tree[i]) - 1);
    model.rows.oven.push_back(data.oven[i] - kLevelGuess);
    model.rows.meter.push_back(data.meter[i] - kLevelGuess);
  }
  model.rows.x.resize(static_cast<Eigen::Index>(data.tree.size()), 0);
  model.between_fruit = model.of_the_mean = Eigen::MatrixXd(0, 0);
  model.phase_one_fruit = static_cast<int>(data.tree.size());
  model.variances = variance_grid(true, kMeterSdGuess, kMeterSdGuessLogSd, meter_points);
  model.slope_nodes = slope_nodes(0, false, false);
  model.oven_variance = 0.15 * 0.15;
  return model;
}

/// Readings as one vector with their whole covariance, (level, bias) integrated too: nothing of the
/// library's algebra, no rescaling of readings.
struct DenseRoute {
  double evidence = 0.0;
  double level = 0.0;
};

DenseRoute dense_route(const GridModel& model, const VariancePoint& point, double slope) {
  struct One {
    int tree;
    std::size_t fruit;
    bool meter;
    double value;
  };
  std::vector<One> readings;
  double centre = 0.0;
  double oven = 0.0;
  for (std::size_t i = 0; i < model.rows.tree.size(); ++i) {
    if (!std::isnan(model.rows.oven[i])) {
      readings.push_back({model.rows.tree[i], i, false, model.rows.oven[i]});
      centre += model.rows.oven[i];
      oven += 1.0;
    }
    if (!std::isnan(model.rows.meter[i])) {
      readings.push_back({model.rows.tree[i], i, true, model.rows.meter[i]});
    }
  }
  centre /= oven;
  const auto n = static_cast<Eigen::Index>(readings.size());
  Eigen::MatrixXd v(n, n);
  Eigen::VectorXd off(n);
  Eigen::VectorXd with_level(n);
  for (Eigen::Index a = 0; a < n; ++a) {
    const One& one = readings[static_cast<std::size_t>(a)];
    const double factor = one.meter ? slope : 1.0;
    // A meter reads centre (1 - slope) + slope y + bias + error.
    off[a] = one.value - (one.meter ? centre * (1.0 - slope) : 0.0);
    with_level[a] = factor * kLevelGuessSd * kLevelGuessSd;
    for (Eigen::Index b = 0; b < n; ++b) {
      const One& other = readings[static_cast<std::size_t>(b)];
      const double both = factor * (other.meter ? slope : 1.0);
      v(a, b) = both * (kLevelGuessSd * kLevelGuessSd +
                        (one.tree == other.tree ? point.tree_variance() : 0.0) +
                        (one.fruit == other.fruit ? point.fruit_variance() : 0.0));
      v(a, b) += one.meter && other.meter ? kMeterBiasSd * kMeterBiasSd : 0.0;
    }
    v(a, a) += one.meter ? point.meter_sd * point.meter_sd : model.oven_variance;
  }
  const Eigen::LLT<Eigen::MatrixXd> factor(v);
  const Eigen::VectorXd solved = factor.solve(off);
  const double log_det = 2.0 * Eigen::MatrixXd(factor.matrixL()).diagonal().array().log().sum();
  return {-0.5 * (log_det + off.dot(solved)) + point.log_prior, with_level.dot(solved)};
}

TEST(MeterSlope, AgreesWithTheWholeCovariance) {
  const GridModel model = model_of_pairs(cases::shape_oven_meter(), 3);
  const std::vector<MeterSlopeNode> slopes = meter_slope_nodes(0.85, 0.12);
  double total = 0.0;
  double level = 0.0;
  double slope = 0.0;
  double naive = 0.0;
  double naive_slope = 0.0;
  constexpr double kOffset = 50.0;
  for (const MeterSlopeNode& node : slopes) {
    for (const VariancePoint& point : model.variances) {
      const DenseRoute dense = dense_route(model, point, node.slope);
      const double weight = node.weight * std::exp(dense.evidence + kOffset);
      total += weight;
      level += weight * dense.level;
      slope += weight * node.slope;
      const double wrong = weight * std::pow(node.slope, 18.0);
      naive += wrong;
      naive_slope += wrong * node.slope;
    }
  }
  const FittedBlock fitted = fit_block(model, slopes);
  EXPECT_NEAR(fitted.phi[0], level / total, 1e-8);
  EXPECT_NEAR(fitted.meter_slope.value().mean, slope / total, 1e-8);
  // Wrong on purpose: readings rescaled without their density's factor.
  EXPECT_GT(std::abs(fitted.meter_slope->mean - naive_slope / naive), 0.01);
}

// Textbook rule: moments of the normal distribution to the fifth.
TEST(MeterSlope, NodesHaveTheMomentsOfTheNormal) {
  double sum = 0.0;
  double mean = 0.0;
  double square = 0.0;
  double fourth = 0.0;
  for (const MeterSlopeNode& node : meter_slope_nodes(0.9, 0.1)) {
    sum += node.weight;
    mean += node.weight * node.slope;
    square += node.weight * std::pow(node.slope - 0.9, 2);
    fourth += node.weight * std::pow(node.slope - 0.9, 4);
  }
  EXPECT_NEAR(sum, 1.0, 1e-15);
  EXPECT_NEAR(mean, 0.9, 1e-15);
  EXPECT_NEAR(square, 0.01, 1e-15);
  EXPECT_NEAR(fourth, 3e-4, 1e-15);
}

TEST(MeterSlope, ThreeNodesStandForTheWholeDistribution) {
  const GridModel model = model_of_pairs(drawn_with_slope(0.8), 7);
  std::vector<MeterSlopeNode> fine;
  double total = 0.0;
  for (int i = -12; i <= 12; ++i) {
    const double u = i / 4.0;
    fine.push_back({0.85 + 0.12 * u, std::exp(-0.5 * u * u)});
    total += fine.back().weight;
  }
  for (MeterSlopeNode& node : fine) {
    node.weight /= total;
  }
  const FittedBlock three = fit_block(model, meter_slope_nodes(0.85, 0.12));
  const FittedBlock many = fit_block(model, fine);
  EXPECT_NEAR(three.phi[0], many.phi[0], 0.01);
  EXPECT_NEAR(three.phi_sd[0], many.phi_sd[0], 0.01);
  EXPECT_NEAR(three.meter_slope->mean, many.meter_slope->mean, 0.02);
}

TEST(MeterSlope, AMeterThatReadsTooNarrowNoLongerMakesABlockEven) {
  BlockOptions options;
  const BlockEstimate exact = estimate_block(drawn_with_slope(0.7), cases::rule(), options);
  options.meter_slope = kMeterSlopeGuess;
  options.meter_slope_sd = kMeterSlopeGuessSd;
  const BlockEstimate unknown = estimate_block(drawn_with_slope(0.7), cases::rule(), options);
  EXPECT_FALSE(exact.meter_slope.has_value());
  EXPECT_GT(unknown.spread_sd.value(), exact.spread_sd.value() + 0.05);
  EXPECT_LT(unknown.readiness.value(), exact.readiness.value());
  EXPECT_GT(unknown.meter_slope->sd, 0.0);
  EXPECT_NEAR(unknown.meter_bias->mean, 1.0, 0.3);
}

TEST(MeterSlope, IsNotAskedWithoutAMeter) {
  BlockOptions options = cases::options();
  const BlockEstimate plain = estimate_block(cases::oven_only(), cases::rule(), options);
  options.meter_slope = kMeterSlopeGuess;
  options.meter_slope_sd = kMeterSlopeGuessSd;
  const BlockEstimate asked = estimate_block(cases::oven_only(), cases::rule(), options);
  EXPECT_EQ(plain.readiness, asked.readiness);
  EXPECT_FALSE(asked.meter_slope.has_value());
}

// Light nodes are left out by default: that must not be seen in results, good meter or bad.
TEST(MeterSlope, LeavingOutLightNodesDoesNotShow) {
  for (const double error : {0.3, 1.0, 3.0}) {
    BlockData data = drawn_with_slope(1.0);
    for (std::size_t i = 0; i < data.meter.size(); ++i) {
      data.meter[i] += error * (std::fmod(0.5698402910 * static_cast<double>(i + 1), 1.0) - 0.5);
    }
    for (const double slope_sd : {0.0, 0.12}) {
      BlockOptions options;
      options.meter_slope_sd = slope_sd;
      const BlockEstimate fast = estimate_block(data, cases::rule(), options);
      options.drop_nodes_below = 0.0;
      const BlockEstimate whole = estimate_block(data, cases::rule(), options);
      EXPECT_NEAR(fast.readiness.value(), whole.readiness.value(), 0.01);
      EXPECT_NEAR(fast.mean_dm_sd.value(), whole.mean_dm_sd.value(), 1e-4);
      EXPECT_NEAR(fast.share_interval->low, whole.share_interval->low, 1e-4);
    }
  }
}

TEST(MeterSlope, ImpossibleSlopesAreNamed) {
  const auto message = [](double slope, double sd) {
    BlockOptions options;
    options.meter_slope = slope;
    options.meter_slope_sd = sd;
    try {
      estimate_block(cases::meter_only(), cases::rule(), options);
    } catch (const std::invalid_argument& error) {
      return std::string(error.what());
    }
    return std::string();
  };
  EXPECT_NE(message(0.2, 0.0).find("meter_slope"), std::string::npos);
  EXPECT_NE(message(std::nan(""), 0.0).find("meter_slope"), std::string::npos);
  EXPECT_NE(message(0.9, -0.1).find("meter_slope_sd"), std::string::npos);
  EXPECT_NE(message(0.9, 0.4).find("meter_slope_sd"), std::string::npos);
  EXPECT_EQ(message(0.9, 0.1), "");
}

}  // namespace
}  // namespace maturity
