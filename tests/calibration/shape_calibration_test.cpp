#include "libmaturity/calibration/shape_calibration.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <stdexcept>

#include "libmaturity/stats/least_squares.h"
#include "tests/calibration/drawn_training.h"
#include "tests/sanitized.h"

namespace maturity {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::ThrowsMessage;

const CalibrationSource kSource{"Invented", "2031-01-10", "2031-02-20", "drawn in a test"};

CrossValidationOptions quick() {
  CrossValidationOptions options;
  options.permutations = 39;
  return options;
}

draws::Truth telling() { return {Eigen::Vector3d(0.7, -0.4, 0.0), 0.1, 1.0, 1.0}; }

TEST(ShapeCalibration, FindsSlopesThatHoldInOtherBlocks) {
  const ShapeCalibration result =
      calibrate_shape(draws::training(telling(), 12, 25, 1), kSource, quick());
  EXPECT_EQ(result.outcome, CalibrationOutcome::usable);
  EXPECT_NEAR(result.slopes[0], 0.7, 0.2);
  EXPECT_NEAR(result.slopes[1], -0.4, 0.2);
  EXPECT_NEAR(result.residual_sd, 1.0, 0.1);
  EXPECT_NEAR(result.within_r_squared.value(), 0.65 / 1.65, 0.12);
  EXPECT_EQ(result.folds, 12);
  EXPECT_LT(result.after_local_mean->sep, result.new_block->sep);
  EXPECT_NEAR(result.shape_covariance(0, 0), 1.0, 0.2);
}

// With the mean put right a fruit is judged by the visit's others: its error is that of one fruit
// and of a mean of two. Its own oven value in that mean would make it sqrt(2/3).
TEST(ShapeCalibration, LocalMeanOwesNothingToTheFruitItIsJudgedBy) {
  ShapeTraining training =
      draws::training({Eigen::VectorXd::Constant(1, 0.7), 0.0, 1.0, 1.0}, 60, 3, 8);
  for (std::size_t i = 0; i < training.block.size(); ++i) {
    training.fold.push_back(std::to_string(i / 3 % 4));
  }
  const ShapeCalibration result = calibrate_shape(training, kSource, quick());
  EXPECT_NEAR(result.after_local_mean->sep, std::sqrt(1.5), 0.25);
  EXPECT_NEAR(result.after_local_mean->bias, 0.0, 1e-9);
  EXPECT_NEAR(result.after_local_mean_ranges->sep, std::sqrt(1.5), 0.25);
}

// Two kinds of wrong: nothing to find must be said, and single-fruit validation is not what is run:
// with descriptors that only tell blocks apart, leaving out single fruit would look splendid.
TEST(ShapeCalibration, NoiseIsSaidToAddNothing) {
  int usable = 0;
  constexpr std::uint64_t kSeasons = kSanitized ? 3 : 30;
  for (std::uint64_t seed = 1; seed <= kSeasons; ++seed) {
    const draws::Truth none{Eigen::VectorXd::Zero(5), 0.0, 1.0, 1.0};
    usable += calibrate_shape(draws::training(none, 8, 12, seed), kSource, quick()).outcome ==
                      CalibrationOutcome::usable
                  ? 1
                  : 0;
  }
  EXPECT_LE(usable, 3);
}

TEST(ShapeCalibration, DifferencesBetweenBlocksAreNoEvidence) {
  ShapeTraining between = draws::training({Eigen::VectorXd::Zero(1), 0.0, 0.3, 2.0}, 10, 12, 3);
  for (std::size_t i = 0; i < between.oven.size(); ++i) {
    between.shape(static_cast<Eigen::Index>(i), 0) *= 0.05;
    between.shape(static_cast<Eigen::Index>(i), 0) += between.oven[i / 12 * 12];
  }
  EXPECT_EQ(calibrate_shape(between, kSource, quick()).outcome,
            CalibrationOutcome::no_usable_information);
  const LeastSquaresFit naive =
      fit_least_squares(between.shape, Eigen::Map<const Eigen::VectorXd>(between.oven.data(), 120));
  EXPECT_GT(naive.r_squared, 0.8);
}

// The covariance must cover the slopes of a block that was not seen, not just their average.
TEST(ShapeCalibration, CovarianceCoversANewBlocksSlopes) {
  int covered = 0;
  int average_only = 0;
  constexpr int kRuns = 300;
  RandomStream stream(77);
  const draws::Truth truth{Eigen::Vector2d(0.8, -0.5), 0.3, 1.0, 1.0};
  for (int run = 0; run < kRuns; ++run) {
    const auto training = draws::training(truth, 8, 20, 1000U + static_cast<unsigned>(run));
    const TrainingBlocks gathered = gather_blocks(training);
    std::vector<const BlockMoments*> blocks;
    for (const BlockMoments& block : gathered.blocks) {
      blocks.push_back(&block);
    }
    const BlockSlopes fit = fit_block_slopes(blocks, {0, 1}, 0.3);
    const double next = 0.8 + 0.3 * draws::normal(stream);
    const double error = std::abs(fit.slopes[0] / gathered.scale[0] - next) * gathered.scale[0];
    covered += error < 1.96 * std::sqrt(fit.covariance(0, 0) + fit.spread) ? 1 : 0;
    average_only += error < 1.96 * std::sqrt(fit.covariance(0, 0)) ? 1 : 0;
  }
  EXPECT_NEAR(static_cast<double>(covered) / kRuns, 0.95, 0.035);
  EXPECT_LT(static_cast<double>(average_only) / kRuns, 0.75);
}

// More visits to the same blocks tell nothing about a block that was not seen.
TEST(ShapeCalibration, VisitsToABlockAreNoFurtherBlocks) {
  const draws::Truth truth{Eigen::Vector2d(0.8, -0.5), 0.4, 0.7, 1.0};
  const ShapeTraining whole = draws::training(truth, 4, 48, 41);
  ShapeTraining visits = whole;
  for (std::size_t i = 0; i < visits.block.size(); ++i) {
    visits.block[i] += " visit " + std::to_string(i % 4);
  }
  const double unknown_blocks = calibrate_shape(visits, kSource, quick()).slopes_covariance(0, 0);
  visits.fold = whole.block;
  const double said = calibrate_shape(visits, kSource, quick()).slopes_covariance(0, 0);
  const double plain = calibrate_shape(whole, kSource, quick()).slopes_covariance(0, 0);
  EXPECT_NEAR(said / plain, 1.0, 0.2);
  EXPECT_LT(unknown_blocks / plain, 0.8);
}

// Without ridge and spread to speak of: the pooled within-block regression, by another route.
TEST(BlockSlopes, AgreeWithRegressionOnBlockIndicators) {
  const ShapeTraining training =
      draws::training({Eigen::Vector2d(0.8, -0.5), 0.0, 1e-3, 1.0}, 4, 15, 6);
  Eigen::MatrixXd design = Eigen::MatrixXd::Zero(60, 6);
  design.leftCols(2) = training.shape;
  for (Eigen::Index i = 0; i < 60; ++i) {
    design(i, 2 + i / 15) = 1.0;
  }
  const LeastSquaresFit plain =
      fit_least_squares(design, Eigen::Map<const Eigen::VectorXd>(training.oven.data(), 60), false);
  const TrainingBlocks gathered = gather_blocks(training);
  std::vector<const BlockMoments*> blocks;
  for (const BlockMoments& block : gathered.blocks) {
    blocks.push_back(&block);
  }
  const BlockSlopes fit = fit_block_slopes(blocks, {0, 1}, 0.99);
  for (Eigen::Index j = 0; j < 2; ++j) {
    EXPECT_NEAR(fit.slopes[j] / gathered.scale[j], plain.coefficients[j], 2e-3);
  }
}

TEST(ShapeCalibration, UnitsOfADescriptorDoNotMatter) {
  ShapeTraining training = draws::training(telling(), 6, 20, 2);
  const ShapeCalibration plain = calibrate_shape(training, kSource, quick());
  training.shape.col(0) = training.shape.col(0) * 100.0;
  training.shape.col(0).array() += 7.0;
  const ShapeCalibration scaled = calibrate_shape(training, kSource, quick());
  EXPECT_NEAR(scaled.slopes[0] * 100.0, plain.slopes[0], 1e-8);
  EXPECT_NEAR(scaled.slopes_covariance(0, 1) * 100.0, plain.slopes_covariance(0, 1), 1e-8);
  EXPECT_NEAR(scaled.within_r_squared.value(), plain.within_r_squared.value(), 1e-8);
}

TEST(ShapeCalibration, OneBlockCannotTell) {
  const ShapeCalibration result =
      calibrate_shape(draws::training(telling(), 1, 60, 3), kSource, quick());
  EXPECT_EQ(result.outcome, CalibrationOutcome::cannot_tell);
  EXPECT_FALSE(result.within_r_squared.has_value());
  EXPECT_GT(result.between_block_sd[0], 0.0);
}

TEST(ShapeCalibration, SeasonsAreLeftOutWhole) {
  ShapeTraining training = draws::training(telling(), 6, 20, 4);
  for (std::size_t i = 0; i < training.block.size(); ++i) {
    training.fold.emplace_back(i < 60 ? "2030" : "2031");
  }
  EXPECT_EQ(calibrate_shape(training, kSource, quick()).folds, 2);
}

TEST(ShapeCalibration, SeasonsAreJudgedBesideBlocks) {
  ShapeTraining training = draws::training(telling(), 9, 20, 4);
  for (std::size_t i = 0; i < training.block.size(); ++i) {
    training.season.push_back(std::to_string(2030 + i / 60));
  }
  const ShapeCalibration result = calibrate_shape(training, kSource, quick());
  EXPECT_EQ(result.folds, 9);
  ASSERT_TRUE(result.by_season.has_value());
  EXPECT_EQ(result.by_season->folds, 3);
  EXPECT_EQ(result.by_season->new_block_ranges->clusters, 3);
  EXPECT_EQ(result.new_block_ranges->clusters, 9);
  EXPECT_EQ(result.outcome, CalibrationOutcome::usable);
}

// Slopes that turn round from one season to the next hold in left-out blocks, not in a left-out
// season: not usable.
TEST(ShapeCalibration, SlopesThatTurnRoundBetweenSeasonsAreNotUsable) {
  ShapeTraining training = draws::training({Eigen::Vector2d(0.9, 0.0), 0.0, 1.0, 1.0}, 12, 20, 4);
  const ShapeTraining turned =
      draws::training({Eigen::Vector2d(-0.9, 0.0), 0.0, 1.0, 1.0}, 2, 20, 5);
  training.shape.bottomRows(40) = turned.shape;
  for (std::size_t i = 0; i < training.block.size(); ++i) {
    training.season.emplace_back(i < 200 ? "2030" : "2031");
    training.oven[i] = i < 200 ? training.oven[i] : turned.oven[i - 200];
  }
  const ShapeCalibration result = calibrate_shape(training, kSource, quick());
  EXPECT_GT(result.within_r_squared.value(), 0.05);
  EXPECT_EQ(result.outcome, CalibrationOutcome::no_usable_information);
  training.season.clear();
  EXPECT_EQ(calibrate_shape(training, kSource, quick()).outcome, CalibrationOutcome::usable);
}

TEST(ShapeCalibration, MissingRowsAreLeftOutAndCounted) {
  ShapeTraining training = draws::training(telling(), 6, 20, 2);
  training.oven[3] = std::numeric_limits<double>::quiet_NaN();
  training.shape(7, 1) = std::numeric_limits<double>::quiet_NaN();
  const ShapeCalibration result = calibrate_shape(training, kSource, quick());
  EXPECT_EQ(result.left_out, 2);
  EXPECT_EQ(result.fruit, 118);
}

TEST(SelectDescriptors, GroupsCorrelatedOnesDropsConstantOnesAndStopsAtTheLimit) {
  ShapeTraining training = draws::training(
      {(Eigen::VectorXd(4) << 0.3, 0.9, 0.0, 0.5).finished(), 0.0, 0.5, 1.0}, 5, 30, 8);
  training.shape.col(2).setConstant(0.4);
  training.names.emplace_back("twin of d1");
  training.shape.conservativeResize(Eigen::NoChange, 5);
  training.shape.col(4) = training.shape.col(1);
  training.shape.col(4).array() += 0.2 * training.shape.col(0).array();
  const TrainingBlocks gathered = gather_blocks(training);
  std::vector<const BlockMoments*> blocks;
  for (const BlockMoments& block : gathered.blocks) {
    blocks.push_back(&block);
  }
  EXPECT_TRUE(gathered.constant[2]);
  EXPECT_THAT(select_descriptors(blocks, gathered.constant), ElementsAre(0, 3, 4));
  SelectionRule two;
  two.at_most = 2;
  EXPECT_THAT(select_descriptors(blocks, gathered.constant, two), ElementsAre(3, 4));
  SelectionRule few;
  few.fruit_per_descriptor = 100;
  EXPECT_THAT(select_descriptors(blocks, gathered.constant, few), ElementsAre(4));
}

TEST(ShapeCalibration, BadInputIsNamed) {
  const ShapeTraining good = draws::training(telling(), 3, 10, 1);
  ShapeTraining bad = good;
  bad.oven[4] = 75.0;
  EXPECT_THAT([&] { calibrate_shape(bad, kSource, quick()); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("oven, fruit in row 5: 75")));
  bad = good;
  bad.names.pop_back();
  EXPECT_THAT([&] { calibrate_shape(bad, kSource, quick()); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("names: 2")));
  bad = good;
  bad.shape.setConstant(1.0);
  EXPECT_THAT([&] { calibrate_shape(bad, kSource, quick()); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("every descriptor constant")));
  EXPECT_THAT([&] { calibrate_shape(good, {}, quick()); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("cultivar: blank")));
}

}  // namespace
}  // namespace maturity
