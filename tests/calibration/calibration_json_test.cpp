#include "libmaturity/calibration/calibration_json.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <stdexcept>

#include "libmaturity/core/version.h"
#include "tests/calibration/drawn_training.h"

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

ShapeCalibration fitted(int blocks) {
  CrossValidationOptions options;
  options.permutations = 19;
  return calibrate_shape(
      draws::training({Eigen::Vector2d(0.7, -0.4), 0.1, 1.0, 1.0}, blocks, 20, 5),
      {"Invented", "2031-01-10", "2031-02-20", "drawn in a test"}, options);
}

std::string replaced(std::string text, const std::string& from, const std::string& to) {
  const auto place = text.find(from);
  EXPECT_NE(place, std::string::npos);
  return text.replace(place, from.size(), to);
}

TEST(CalibrationJson, RoundTripKeepsEveryBit) {
  for (const int blocks : {1, 5}) {
    const ShapeCalibration saved = fitted(blocks);
    const ShapeCalibration read = calibration_from_json(calibration_to_json(saved));
    EXPECT_EQ(calibration_to_json(read), calibration_to_json(saved));
    EXPECT_EQ(read.slopes, saved.slopes);
    EXPECT_EQ(read.slopes_covariance, saved.slopes_covariance);
    EXPECT_EQ(read.source.cultivar, "Invented");
    EXPECT_EQ(read.outcome, saved.outcome);
    EXPECT_EQ(read.new_block.has_value(), blocks > 1);
    EXPECT_EQ(read.id.size(), 16U);
    ASSERT_EQ(read.block_baselines.size(), static_cast<std::size_t>(blocks));
    EXPECT_EQ(read.block_baselines[0].mean, saved.block_baselines[0].mean);
    EXPECT_EQ(read.block_baselines[0].covariance, saved.block_baselines[0].covariance);
  }
}

TEST(CalibrationJson, BaselinesOfBlocksMakeUpThatOfTheCultivar) {
  const ShapeCalibration made = fitted(4);
  Eigen::VectorXd mean = Eigen::VectorXd::Zero(2);
  Eigen::MatrixXd square = Eigen::MatrixXd::Zero(2, 2);
  int fruit = 0;
  for (const ReferenceRange& block : made.block_baselines) {
    fruit += block.members;
    mean += block.members * block.mean;
    square += (block.members - 1) * block.covariance +
              block.members * block.mean * block.mean.transpose();
  }
  ASSERT_EQ(fruit, made.fruit);
  mean /= fruit;
  EXPECT_EQ(made.block_baselines[2].group, "block 2");
  EXPECT_TRUE(mean.isApprox(made.shape_mean, 1e-12));
  EXPECT_TRUE(((square - fruit * mean * mean.transpose()) / (fruit - 1))
                  .isApprox(made.shape_covariance, 1e-12));
}

TEST(CalibrationJson, FormatWithoutBaselinesIsReadAndWrittenAsItWas) {
  ShapeCalibration earlier = fitted(3);
  earlier.format = 1;
  earlier.block_baselines.clear();
  earlier.id = calibration_hash(earlier);
  const std::string text = calibration_to_json(earlier);
  EXPECT_EQ(text.find("block_baselines"), std::string::npos);
  const ShapeCalibration read = calibration_from_json(text);
  EXPECT_TRUE(read.block_baselines.empty());
  EXPECT_EQ(calibration_to_json(read), text);
}

TEST(CalibrationJson, FormatWithoutRangesIsReadAndWrittenAsItWas) {
  ShapeCalibration earlier = fitted(4);
  EXPECT_TRUE(earlier.new_block_ranges.has_value());
  earlier.format = 2;
  earlier.id = calibration_hash(earlier);
  const std::string text = calibration_to_json(earlier);
  EXPECT_EQ(text.find("ranges"), std::string::npos);
  const ShapeCalibration read = calibration_from_json(text);
  EXPECT_FALSE(read.new_block_ranges.has_value());
  EXPECT_EQ(calibration_to_json(read), text);
}

TEST(CalibrationJson, SeasonsAndRangesSurvive) {
  ShapeTraining training = draws::training({Eigen::Vector2d(0.7, -0.4), 0.1, 1.0, 1.0}, 6, 20, 5);
  for (std::size_t i = 0; i < training.block.size(); ++i) {
    training.season.push_back(std::to_string(2030 + i / 40));
  }
  CrossValidationOptions options;
  options.permutations = 19;
  const ShapeCalibration saved =
      calibrate_shape(training, {"Invented", "", "", "drawn in a test"}, options);
  const ShapeCalibration read = calibration_from_json(calibration_to_json(saved));
  EXPECT_EQ(calibration_to_json(read), calibration_to_json(saved));
  EXPECT_EQ(read.by_season->new_block_ranges->sep_interval.high,
            saved.by_season->new_block_ranges->sep_interval.high);
  EXPECT_EQ(read.new_block_ranges->slope_interval->low,
            saved.new_block_ranges->slope_interval->low);
}

TEST(CalibrationJson, DamagedTextIsNamed) {
  const std::string good = calibration_to_json(fitted(3));
  const auto refused = [](const std::string& text, const std::string& why) {
    EXPECT_THAT([&] { calibration_from_json(text); },
                ThrowsMessage<std::invalid_argument>(HasSubstr(why)));
  };
  refused("not json", "not a JSON object");
  refused(replaced(good, R"("format": 3)", R"("format": 4)"), "format: 4");
  refused(replaced(good, R"("fruit")", R"("fruits")"), "field fruit: missing");
  refused(replaced(good, R"("cultivar": "Invented")", R"("cultivar": 7)"), "field cultivar");
  refused(replaced(good, R"("Invented")", R"("Other")"), "changed after it was saved");
  refused(replaced(good, "    \"d0\",\n", ""), "different sizes");
}

TEST(CalibrationFits, AnotherCultivarNamesOrMethodAreRefused) {
  ShapeCalibration calibration = fitted(3);
  EXPECT_NO_THROW(check_calibration_fits(calibration, "Invented", {"d0", "d1"}));
  EXPECT_THAT(
      [&] {
        check_calibration_fits(calibration, "Other", {"d0", "d1"});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("cultivar: Other")));
  EXPECT_NO_THROW(check_calibration_fits(calibration, "Other", {"d0", "d1"}, true));
  EXPECT_THAT(
      [&] {
        check_calibration_fits(calibration, "Invented", {"d1", "d0"});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("d1, d0")));
  calibration.method_version = method_version() + 1;
  EXPECT_THAT(
      [&] {
        check_calibration_fits(calibration, "Invented", {"d0", "d1"});
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("method_version")));
}

}  // namespace
}  // namespace maturity
