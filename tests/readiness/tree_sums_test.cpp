#include "libmaturity/readiness/tree_sums.h"

#include <gtest/gtest.h>

#include <Eigen/Cholesky>
#include <cmath>
#include <vector>

#include "tests/readiness/block_cases.h"

namespace maturity {
namespace {

/// Generalised least squares with known variances and flat priors, tree effects by shrinkage.
struct Gls {
  Eigen::VectorXd estimate;
  Eigen::VectorXd se;
  Eigen::VectorXd tree_effect;
};

Gls gls(const ModelRows& rows, double tree_variance, double fruit_variance) {
  const TreeSums sums(rows);
  VarianceTerms terms(sums);
  terms.set({tree_variance, fruit_variance, 0.0, 1.0});
  const Eigen::MatrixXd information = terms.information().selfadjointView<Eigen::Lower>();
  const Eigen::MatrixXd covariance =
      information.llt().solve(Eigen::MatrixXd::Identity(information.rows(), information.cols()));
  Gls result;
  result.estimate = covariance * terms.score();
  result.se = covariance.diagonal().cwiseSqrt();
  result.tree_effect.resize(sums.trees());
  for (int t = 0; t < sums.trees(); ++t) {
    result.tree_effect[t] =
        terms.shrink(t) * (terms.reading(t) - terms.design(t).dot(result.estimate));
  }
  return result;
}

ModelRows rows_of(const std::vector<int>& tree, const std::vector<double>& value,
                  const Eigen::MatrixXd& x) {
  return {tree, x, value, std::vector<double>(value.size(), cases::kMissing)};
}

// COMPUTED by R lme4 (REML) on the oven-only case; variances as REML found them.
TEST(TreeSums, OvenOnlyGivesTheMixedModelAnswer) {
  const ModelRows rows =
      rows_of({0, 0, 1, 1, 2, 2, 3, 3, 4, 4},
              {15.9, 16.8, 17.2, 15.1, 14.6, 16.3, 18.0, 16.9, 15.7, 16.4}, Eigen::MatrixXd(10, 0));
  const Gls fit = gls(rows, 0.0425, 0.981);
  EXPECT_NEAR(fit.estimate[0], 16.29, 1e-10);
  // The variances are printed to 3 digits, which leaves 9 of the standard error.
  EXPECT_NEAR(fit.se[0], 0.3264965537, 1e-9);
  const std::vector<double> effects{0.00478424, -0.01116323, -0.06697936, 0.09249531, -0.01913696};
  for (int t = 0; t < 5; ++t) {
    EXPECT_NEAR(fit.tree_effect[t], effects[static_cast<std::size_t>(t)], 1e-8);
  }
}

// COMPUTED by R lme4 (REML), estimates also by statsmodels MixedLM to 6 digits. Raw shapes.
TEST(TreeSums, TwoCovariatesGiveTheMixedModelAnswer) {
  Eigen::MatrixXd x(17, 2);
  x << 1.55, 2.11, 2.11, 2.58, -0.76, 1.2, -0.24, 0.7, -1.53, -0.11, 0.09, 0.96, -0.71, -0.3, 0.43,
      -0.77, -1.42, -0.34, 0.1, -0.49, -0.01, -0.95, 0.11, -0.09, -0.4, 0.78, -0.96, -0.31, 0.33,
      0.26, 0.52, -1.29, 0.29, -1.8;
  const ModelRows rows = rows_of({0, 0, 0, 1, 1, 2, 2, 2, 3, 3, 3, 4, 4, 5, 5, 6, 6},
                                 {16.44, 17.26, 15.52, 16.22, 15.58, 16.12, 15.96, 17.33, 15.67,
                                  16.64, 16.83, 16.91, 16.17, 15.85, 17.49, 19.09, 19.12},
                                 x);
  const Gls fit = gls(rows, 0.18596661, 0.09243087);
  const std::vector<double> estimate{16.86757561, 0.88468823, -0.60489463};
  const std::vector<double> se{0.17987588, 0.10688297, 0.12803361};
  for (int j = 0; j < 3; ++j) {
    EXPECT_NEAR(fit.estimate[j], estimate[static_cast<std::size_t>(j)], 2e-8);
    EXPECT_NEAR(fit.se[j], se[static_cast<std::size_t>(j)], 1e-8);
  }
  const std::vector<double> effects{-0.11023452, -0.00495198, -0.31202897, -0.38970331,
                                    0.00752320,  0.05284585,  0.75654974};
  for (int t = 0; t < 7; ++t) {
    EXPECT_NEAR(fit.tree_effect[t], effects[static_cast<std::size_t>(t)], 2e-8);
  }
  // Wrong on purpose: trees ignored.
  const Gls naive = gls(rows, 0.0, 0.18596661 + 0.09243087);
  EXPECT_GT(std::abs(naive.estimate[1] - 0.88468823), 0.01);
}

// Dyestuff (Davies; 6 batches of 5): data and REML answer READ in a public test file quoting lme4
// (mean 1527.5, variances 1764.05 and 2451.25); standard errors COMPUTED x2.
TEST(TreeSums, DyestuffGivesThePublishedAnswer) {
  std::vector<int> batch;
  batch.reserve(30);
  for (int i = 0; i < 30; ++i) {
    batch.push_back(i / 5);
  }
  const ModelRows rows = rows_of(
      batch,
      {1545, 1440, 1440, 1520, 1580, 1540, 1555, 1490, 1560, 1495, 1595, 1550, 1605, 1510, 1560,
       1445, 1440, 1595, 1465, 1545, 1595, 1630, 1515, 1635, 1625, 1520, 1455, 1450, 1480, 1445},
      Eigen::MatrixXd(30, 0));
  const Gls fit = gls(rows, 1764.05, 2451.25);
  EXPECT_NEAR(fit.estimate[0], 1527.5, 1e-9);
  EXPECT_NEAR(fit.se[0], 19.3834122, 1e-6);
  const std::vector<double> effects{-17.606851, 0.39126336, 28.562226,
                                    -23.084538, 56.733188,  -44.995287};
  for (int t = 0; t < 6; ++t) {
    EXPECT_NEAR(fit.tree_effect[t], effects[static_cast<std::size_t>(t)], 1e-6);
  }
  // Wrong on purpose: batches ignored understates the error about 1.6 times.
  EXPECT_NEAR(gls(rows, 0.0, 1764.05 + 2451.25).se[0], 11.8536914, 1e-6);
}

// Slow plain twin: dense covariance of oven and meter readings.
TEST(TreeSums, OvenAndMeterAgreeWithTheDenseCovariance) {
  const BlockData data = cases::shape_oven_meter();
  ModelRows rows;
  rows.x = data.shape;
  for (const std::string& label : data.tree) {
    rows.tree.push_back(std::stoi(label) - 1);
  }
  rows.oven = data.oven;
  rows.meter = data.meter;
  constexpr double kTree = 0.4;
  constexpr double kFruit = 1.1;
  constexpr double kOven = 0.02;
  constexpr double kMeter = 0.9;
  const TreeSums sums(rows);
  VarianceTerms terms(sums);
  terms.set({kTree, kFruit, kOven, kMeter});

  std::vector<std::pair<std::size_t, bool>> reading;
  for (std::size_t i = 0; i < rows.tree.size(); ++i) {
    for (const bool meter : {false, true}) {
      if (!std::isnan(meter ? rows.meter[i] : rows.oven[i])) {
        reading.emplace_back(i, meter);
      }
    }
  }
  const auto m = static_cast<Eigen::Index>(reading.size());
  Eigen::MatrixXd x(m, 3);
  Eigen::MatrixXd v(m, m);
  Eigen::VectorXd d(m);
  for (Eigen::Index a = 0; a < m; ++a) {
    const auto [i, by_meter] = reading[static_cast<std::size_t>(a)];
    x.row(a) << 1.0, rows.x(static_cast<Eigen::Index>(i), 0), by_meter ? 1.0 : 0.0;
    d[a] = by_meter ? rows.meter[i] : rows.oven[i];
    for (Eigen::Index b = 0; b < m; ++b) {
      const std::size_t j = reading[static_cast<std::size_t>(b)].first;
      v(a, b) = (rows.tree[i] == rows.tree[j] ? kTree : 0.0) + (i == j ? kFruit : 0.0);
    }
    v(a, a) += by_meter ? kMeter : kOven;
  }
  const Eigen::LLT<Eigen::MatrixXd> factor(v);
  const Eigen::MatrixXd information = x.transpose() * factor.solve(x);
  const Eigen::MatrixXd fast = terms.information().selfadjointView<Eigen::Lower>();
  EXPECT_LT((information - fast).cwiseAbs().maxCoeff(), 1e-10);
  EXPECT_LT((x.transpose() * factor.solve(d) - terms.score()).cwiseAbs().maxCoeff(), 1e-9);
  EXPECT_NEAR(d.dot(factor.solve(d)), terms.data_square(), 1e-8);
  EXPECT_NEAR(2.0 * Eigen::MatrixXd(factor.matrixL()).diagonal().array().log().sum(),
              terms.log_det(), 1e-10);
}

}  // namespace
}  // namespace maturity
