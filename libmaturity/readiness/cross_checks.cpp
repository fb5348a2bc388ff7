#include "libmaturity/readiness/cross_checks.h"

#include <Eigen/Cholesky>
#include <algorithm>
#include <array>
#include <boost/math/distributions/non_central_t.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <cstddef>
#include <map>

#include "libmaturity/readiness/block_design.h"
#include "libmaturity/readiness/check_block_input.h"
#include "libmaturity/readiness/decision.h"
#include "libmaturity/readiness/named_text.h"
#include "libmaturity/stats/normal.h"
#include "libmaturity/stats/tolerance_limit.h"

namespace maturity {

namespace {

constexpr std::array<NamedText, 3> kKind{{
    {"plain_mean",
     "Takes oven fruit as independent and drawn at random; too narrow when trees give several, "
     "wrong when they were picked."},
    {"tolerance_limit",
     "Takes oven fruit as independent, random, normal and free of error; too sure when trees give "
     "several."},
    {"two_phase_regression",
     "Takes dry matter as a straight line in shape, the same between and within trees; needs no "
     "prior, but many oven fruit."},
}};

constexpr std::array<NamedText, 5> kWhy{{
    {"clusters",
     "Oven fruit share trees, so they tell less than their number: the plain interval is too "
     "narrow."},
    {"selection",
     "Oven fruit were, or look, picked: their plain mean does not stand for the block."},
    {"shape",
     "Shape goes with dry matter here and moves the estimate, most where the oven fruit differ in "
     "shape from the block."},
    {"meter", "Meter readings on other fruit, with the bias removed, move the estimate."},
    {"few_readings",
     "Few oven fruit tell little of the spread, so the estimate leans on a planning guess of it."},
}};

constexpr int kOvenPerDescriptor = 5;
constexpr double kLevel = 0.975;
// Strong: the means differ by more than the estimate's own SD; its SD is half as large again.
constexpr double kStrongShift = 1.0;
constexpr double kStrongWidening = 1.5;
constexpr double kStrongChance = 25.0;
constexpr int kFewReadings = 15;

PlainMean with_interval(double mean, double se, double freedom, int fruit) {
  const double half = boost::math::quantile(boost::math::students_t(freedom), kLevel) * se;
  return {mean, se, {mean - half, mean + half}, fruit};
}

std::vector<double> oven_values(const BlockData& data) {
  std::vector<double> values;
  for (const double value : data.oven) {
    if (!std::isnan(value)) {
      values.push_back(value);
    }
  }
  return values;
}

void fill_plain(const std::vector<double>& oven, const BlockRule& rule, CrossChecks& checks) {
  const auto n = static_cast<double>(oven.size());
  if (oven.size() < 2) {
    return;
  }
  double mean = 0.0;
  for (const double value : oven) {
    mean += value / n;
  }
  double square = 0.0;
  for (const double value : oven) {
    square += (value - mean) * (value - mean);
  }
  const double sd = std::sqrt(square / (n - 1.0));
  checks.plain_mean =
      with_interval(mean, sd / std::sqrt(n), n - 1.0, static_cast<int>(oven.size()));
  if (oven.size() < 3 || sd <= 0.0) {
    return;
  }
  checks.tolerance_limit = lower_tolerance_limit(oven, rule.required_share, rule.confidence);
  const double root = std::sqrt(n);
  const boost::math::non_central_t distribution(n - 1.0,
                                                normal_quantile(rule.required_share) * root);
  const double reached = boost::math::cdf(distribution, (mean - rule.minimum_dm_pct) / sd * root);
  checks.plain_readiness = 100.0 * std::clamp(reached, 0.0, 1.0);
}

/// Oven fruit with shape, standardised; the mean of the random sample is at 0.
void fill_two_phase(const BlockData& data, const BlockDesign& design, CrossChecks& checks) {
  const auto p = static_cast<Eigen::Index>(design.descriptors.size());
  std::vector<int> rows;
  for (const int row : design.rows) {
    const auto i = static_cast<std::size_t>(row);
    if (i < data.oven.size() && !std::isnan(data.oven[i])) {
      rows.push_back(row);
    }
  }
  const auto n = static_cast<Eigen::Index>(rows.size());
  if (p == 0 || n < kOvenPerDescriptor * p || n < p + 3) {
    return;
  }
  Eigen::MatrixXd x(n, p + 1);
  Eigen::VectorXd y(n);
  std::map<int, double> by_tree;
  for (Eigen::Index i = 0; i < n; ++i) {
    const int row = rows[static_cast<std::size_t>(i)];
    x(i, 0) = 1.0;
    x.row(i).tail(p) = design.phase_one.x.row(row).head(p);
    y[i] = data.oven[static_cast<std::size_t>(row)];
    by_tree[design.tree[static_cast<std::size_t>(row)]] = 0.0;
  }
  const auto trees = static_cast<double>(by_tree.size());
  const Eigen::LDLT<Eigen::MatrixXd> factor(x.transpose() * x);
  constexpr double kSingular = 1e-10;
  if (trees < kFewestOvenTrees || factor.rcond() < kSingular) {
    return;
  }
  const Eigen::VectorXd line = factor.solve(x.transpose() * y);
  const Eigen::VectorXd residual = y - x * line;
  // The mean at the block's mean shape is the intercept, a weighted sum of the oven values.
  const Eigen::VectorXd weight = x * factor.solve(Eigen::VectorXd::Unit(p + 1, 0));
  for (Eigen::Index i = 0; i < n; ++i) {
    by_tree[design.tree[static_cast<std::size_t>(rows[static_cast<std::size_t>(i)])]] +=
        weight[i] * residual[i];
  }
  double variance = 0.0;
  for (const auto& [tree, sum] : by_tree) {
    variance += sum * sum;
  }
  const auto fruit = static_cast<double>(n);
  const double free = fruit - static_cast<double>(p) - 1.0;
  variance *= trees / (trees - 1.0) * (fruit - 1.0) / free;
  const Eigen::VectorXd slopes = line.tail(p);
  variance += slopes.dot(design.phase_one.of_the_mean.topLeftCorner(p, p) * slopes);
  checks.two_phase_regression =
      with_interval(line[0], std::sqrt(variance), std::min(trees - 1.0, free), static_cast<int>(n));
}

std::vector<Disagreement> compare(const CrossChecks& checks, const BlockEstimate& estimate) {
  std::vector<Disagreement> why;
  if (!checks.plain_mean || !estimate.mean_dm_pct) {
    return why;
  }
  const BlockCounts& counts = estimate.counts;
  const double sd = estimate.mean_dm_sd.value();
  const auto off = [&](const std::optional<PlainMean>& figure) {
    return figure && std::abs(figure->mean - *estimate.mean_dm_pct) > kStrongShift * sd;
  };
  const bool shifted = off(checks.plain_mean);
  const bool another_chance =
      checks.plain_readiness && estimate.rule.kind == RuleKind::share &&
      std::abs(*checks.plain_readiness - *estimate.readiness) > kStrongChance;
  const bool too_narrow =
      counts.oven_fruit > counts.oven_trees && sd > kStrongWidening * checks.plain_mean->se;
  if (shifted || another_chance || off(checks.two_phase_regression)) {
    if (estimate.robust) {
      why.push_back(Disagreement::selection);
    } else if (!estimate.slopes.empty()) {
      why.push_back(Disagreement::shape);
    }
    if (counts.meter_only_fruit > 0) {
      why.push_back(Disagreement::meter);
    }
  }
  if (too_narrow) {
    why.push_back(Disagreement::clusters);
  }
  if (why.empty() && (shifted || another_chance) && counts.oven_fruit < kFewReadings) {
    why.push_back(Disagreement::few_readings);
  }
  return why;
}

}  // namespace

std::string_view name(CrossCheckKind kind) { return kKind.at(static_cast<std::size_t>(kind)).name; }
std::string_view assumption(CrossCheckKind kind) {
  return kKind.at(static_cast<std::size_t>(kind)).sentence;
}
std::string_view name(Disagreement why) { return kWhy.at(static_cast<std::size_t>(why)).name; }
std::string_view sentence(Disagreement why) {
  return kWhy.at(static_cast<std::size_t>(why)).sentence;
}

CrossChecks cross_check(const BlockData& data, const BlockOptions& options,
                        const BlockEstimate& estimate) {
  check_block_input(data, estimate.rule, options);
  CrossChecks checks;
  fill_plain(oven_values(data), estimate.rule, checks);
  fill_two_phase(data, design_block(data, options), checks);
  checks.disagreements = compare(checks, estimate);
  return checks;
}

}  // namespace maturity
