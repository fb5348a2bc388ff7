#include "libmaturity/stats/least_squares.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <Eigen/Cholesky>

#include <cmath>
#include <stdexcept>

#include "libmaturity/stats/random_stream.h"
#include "tests/values/nist_reference_datasets.h"

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

void expect_relative(double value, double certified, double tolerance) {
  EXPECT_NEAR(value, certified, tolerance * std::abs(certified));
}

LeastSquaresFit norris(bool intercept = true) {
  const auto n = static_cast<Eigen::Index>(values::kNorrisX.size());
  return fit_least_squares(Eigen::Map<const Eigen::VectorXd>(values::kNorrisX.data(), n),
                           Eigen::Map<const Eigen::VectorXd>(values::kNorrisY.data(), n),
                           intercept);
}

Eigen::MatrixXd powers() {
  Eigen::MatrixXd x(21, 5);
  for (Eigen::Index i = 0; i < 21; ++i) {
    for (Eigen::Index j = 0; j < 5; ++j) {
      x(i, j) = std::pow(static_cast<double>(i), static_cast<double>(j + 1));
    }
  }
  return x;
}

TEST(LeastSquares, NorrisMatchesItsCertifiedValues) {
  const LeastSquaresFit fit = norris();
  for (Eigen::Index j = 0; j < 2; ++j) {
    const auto k = static_cast<std::size_t>(j);
    expect_relative(fit.coefficients[j], values::kNorrisCoefficients.at(k), 1e-10);
    expect_relative(fit.standard_errors[j], values::kNorrisErrors.at(k), 1e-9);
  }
  expect_relative(fit.residual_sd, values::kNorrisResidualSd, 1e-9);
  expect_relative(fit.r_squared, values::kNorrisRSquared, 1e-12);
  expect_relative(fit.f_statistic, values::kNorrisF, 1e-9);
  expect_relative(fit.model_sum_of_squares, values::kNorrisModelSquares, 1e-10);
  expect_relative(fit.residual_sum_of_squares, values::kNorrisResidualSquares, 1e-9);
  EXPECT_EQ(fit.residual_degrees, 34);
}

TEST(LeastSquares, LongleyMatchesItsCertifiedValues) {
  Eigen::MatrixXd x(16, 6);
  Eigen::VectorXd y(16);
  for (Eigen::Index i = 0; i < 16; ++i) {
    const auto& row = values::kLongley.at(static_cast<std::size_t>(i));
    y[i] = row.at(0);
    for (Eigen::Index j = 0; j < 6; ++j) {
      x(i, j) = row.at(static_cast<std::size_t>(j) + 1);
    }
  }
  const LeastSquaresFit fit = fit_least_squares(x, y);
  for (Eigen::Index j = 0; j < 7; ++j) {
    const auto k = static_cast<std::size_t>(j);
    expect_relative(fit.coefficients[j], values::kLongleyCoefficients.at(k), 1e-7);
    expect_relative(fit.standard_errors[j], values::kLongleyErrors.at(k), 1e-7);
  }
  expect_relative(fit.residual_sd, values::kLongleyResidualSd, 1e-7);
  expect_relative(fit.r_squared, values::kLongleyRSquared, 1e-10);
  expect_relative(fit.f_statistic, values::kLongleyF, 1e-7);
  EXPECT_EQ(fit.residual_degrees, 9);
}

TEST(LeastSquares, WamplerPolynomialsAreExact) {
  const Eigen::MatrixXd x = powers();
  const Eigen::VectorXd ones = x.rowwise().sum().array() + 1.0;
  const LeastSquaresFit first = fit_least_squares(x, ones);
  Eigen::VectorXd tenths(5);
  tenths << 1e-1, 1e-2, 1e-3, 1e-4, 1e-5;
  const LeastSquaresFit second = fit_least_squares(x, (x * tenths).array() + 1.0);
  for (Eigen::Index j = 0; j < 6; ++j) {
    EXPECT_NEAR(first.coefficients[j], 1.0, 1e-8);
    EXPECT_NEAR(first.standard_errors[j], 0.0, 1e-6);
    EXPECT_NEAR(second.coefficients[j], std::pow(10.0, static_cast<double>(-j)), 1e-6);
    EXPECT_NEAR(second.standard_errors[j], 0.0, 1e-6);
  }
}

TEST(LeastSquares, Wampler3MatchesItsCertifiedErrors) {
  const Eigen::MatrixXd x = powers();
  Eigen::VectorXd y = x.rowwise().sum().array() + 1.0;
  y += Eigen::Map<const Eigen::VectorXd>(values::kWamplerDeviation.data(), 21);
  const LeastSquaresFit fit = fit_least_squares(x, y);
  for (Eigen::Index j = 0; j < 6; ++j) {
    EXPECT_NEAR(fit.coefficients[j], 1.0, 1e-6);
    expect_relative(fit.standard_errors[j], values::kWampler3Errors.at(static_cast<std::size_t>(j)),
                    1e-6);
  }
  expect_relative(fit.residual_sd, values::kWampler3ResidualSd, 1e-9);
  expect_relative(fit.r_squared, values::kWampler3RSquared, 1e-12);
  expect_relative(fit.f_statistic, values::kWampler3F, 1e-9);
}

// Wrong on purpose: the normal equations lose half the digits, so the bars above can fail.
TEST(LeastSquares, NormalEquationsWouldMissTheWamplerBar) {
  Eigen::MatrixXd design(21, 6);
  design << Eigen::VectorXd::Ones(21), powers();
  const Eigen::VectorXd y = design.rowwise().sum();
  const Eigen::VectorXd wrong = (design.transpose() * design).ldlt().solve(design.transpose() * y);
  EXPECT_GT((wrong.array() - 1.0).abs().maxCoeff(), 1e-8);
}

TEST(LeastSquares, WithoutAnInterceptTheLineGoesThroughTheOrigin) {
  const LeastSquaresFit fit = norris(false);
  double xy = 0.0;
  double xx = 0.0;
  for (std::size_t i = 0; i < values::kNorrisX.size(); ++i) {
    xy += values::kNorrisX[i] * values::kNorrisY[i];
    xx += values::kNorrisX[i] * values::kNorrisX[i];
  }
  ASSERT_EQ(fit.coefficients.size(), 1);
  expect_relative(fit.coefficients[0], xy / xx, 1e-13);
}

// Known noise: the stated standard errors cover the true slope at their level.
TEST(LeastSquares, StandardErrorsCoverTheTruthInSimulation) {
  RandomStream stream(11);
  int covered = 0;
  constexpr int kRuns = 2000;
  for (int run = 0; run < kRuns; ++run) {
    Eigen::MatrixXd x(20, 1);
    Eigen::VectorXd y(20);
    for (Eigen::Index i = 0; i < 20; ++i) {
      x(i, 0) = stream.uniform();
      const double angle = 6.283185307179586 * stream.uniform();
      y[i] = 2.0 + 3.0 * x(i, 0) +
             std::sqrt(-2.0 * std::log(1.0 - stream.uniform())) * std::cos(angle);
    }
    const LeastSquaresFit fit = fit_least_squares(x, y);
    covered += std::abs(fit.coefficients[1] - 3.0) < 2.100922 * fit.standard_errors[1] ? 1 : 0;
  }
  EXPECT_NEAR(static_cast<double>(covered) / kRuns, 0.95, 0.015);
}

TEST(LeastSquares, AsManyRowsAsCoefficientsLeaveNoError) {
  const LeastSquaresFit fit =
      fit_least_squares(Eigen::Vector2d(0.0, 1.0), Eigen::Vector2d(1.0, 3.0));
  EXPECT_NEAR(fit.coefficients[1], 2.0, 1e-12);
  EXPECT_TRUE(std::isnan(fit.standard_errors[1]));
}

TEST(LeastSquares, BadInputIsNamed) {
  const Eigen::Vector3d y(1.0, 2.0, 4.0);
  Eigen::MatrixXd twice(3, 2);
  twice << 1.0, 2.0, 2.0, 4.0, 3.0, 6.0;
  EXPECT_THAT([&] { fit_least_squares(twice, y, false); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("depend on each other")));
  EXPECT_THAT([&] { fit_least_squares(Eigen::MatrixXd::Ones(2, 1), y); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("x: 2 rows")));
  EXPECT_THAT([&] { fit_least_squares(Eigen::MatrixXd::Random(3, 3), y); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("at least as many")));
  EXPECT_THAT([&] { fit_least_squares(Eigen::Vector3d(1.0, NAN, 2.0), y); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("not finite")));
}

}  // namespace
}  // namespace maturity
