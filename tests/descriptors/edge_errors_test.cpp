// Standard errors against repeated noisy draws; the noise is drawn another way (waves of random
// phase) than the errors are computed.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "libmaturity/descriptors/describe_outline.h"
#include "libmaturity/descriptors/edge_error.h"
#include "tests/shapes/invented_fruit.h"

namespace maturity {
namespace {

using D = Descriptor;

double spread(const std::vector<double>& x) {
  double mean = 0.0;
  for (const double v : x) {
    mean += v / static_cast<double>(x.size());
  }
  double sum = 0.0;
  for (const double v : x) {
    sum += (v - mean) * (v - mean);
  }
  return std::sqrt(sum / static_cast<double>(x.size() - 1));
}

/// se / spread of draws, per descriptor and fruit; fruit whose pose a person stated.
std::vector<std::vector<double>> ratios(bool find_pose) {
  constexpr double kSd = 0.1;
  constexpr double kLength = 3.0;
  constexpr int kDraws = 300;
  std::vector<std::vector<double>> found(kDescriptorCount);
  std::mt19937_64 random(2024);
  int fruits = 0;
  while (fruits < 10) {
    auto parameters = shapes::random_parameters(random);
    parameters.waviness = 0.002;
    const auto fruit = shapes::invent_fruit(parameters, 120.0, 512, random);
    DescribeOptions options;
    options.edge_sd = kSd;
    options.edge_correlation_length = kLength;
    if (!find_pose) {
      options.evidence.given_stem = fruit.stem;
      options.evidence.given_nose = fruit.nose;
      options.evidence.given_ventral_side = fruit.ventral_side;
    }
    const ShapeDescription base = describe_outline(fruit.outline, options);
    if (base.pose.axis_probability < 0.98 || base.pose.side_probability < 0.98) {
      continue;
    }
    ++fruits;
    options.with_errors = false;
    std::vector<std::vector<double>> draws(kDescriptorCount);
    for (int i = 0; i < kDraws; ++i) {
      const auto d =
          describe_outline(shapes::with_edge_noise(fruit.outline, kSd, kLength, random), options);
      for (std::size_t k = 0; k < kDescriptorCount; ++k) {
        draws[k].push_back(d.descriptors.value[k]);
      }
    }
    for (std::size_t k = 0; k < kDescriptorCount; ++k) {
      // At their limit 0, values have no first-order error: left out here (see below).
      if (base.descriptors.value[k] > 3.0 * kSd / 120.0 || base.descriptors.value[k] < 0.0) {
        found[k].push_back(base.descriptors.se[k] / spread(draws[k]));
      }
    }
  }
  return found;
}

TEST(EdgeErrors, MatchRepeatedDrawsWhereThePoseIsStated) {
  const auto found = ratios(false);
  for (const DescriptorInfo& info : descriptor_registry()) {
    std::vector<double> r = found[static_cast<std::size_t>(info.descriptor)];
    if (r.size() < 3) {
      continue;
    }
    std::nth_element(r.begin(), r.begin() + static_cast<std::ptrdiff_t>(r.size() / 2), r.end());
    EXPECT_GT(r[r.size() / 2], 0.8) << info.name;
    EXPECT_LT(r[r.size() / 2], 1.25) << info.name;
  }
}

TEST(EdgeErrors, MatchRepeatedDrawsWithThePoseFoundAnewEachTime) {
  const auto found = ratios(true);
  for (const DescriptorInfo& info : descriptor_registry()) {
    std::vector<double> r = found[static_cast<std::size_t>(info.descriptor)];
    if (r.size() < 3) {
      continue;
    }
    std::nth_element(r.begin(), r.begin() + static_cast<std::ptrdiff_t>(r.size() / 2), r.end());
    EXPECT_GT(r[r.size() / 2], 0.8) << info.name;
    EXPECT_LT(r[r.size() / 2], 1.25) << info.name;
  }
}

TEST(EdgeErrors, AtTheLimitTheEdgeErrorItselfStandsIn) {
  DescribeOptions options;
  options.edge_sd = 0.2;
  options.evidence.given_stem = Point(-60.0, 0.0);
  options.evidence.given_nose = Point(60.0, 0.0);
  options.evidence.given_ventral_side = +1;
  const ShapeDescription d = describe_outline(shapes::ellipse(60.0, 45.0, 400), options);
  EXPECT_NEAR(d.descriptors[D::shoulder_rise_ventral], 0.0, 1e-4);
  EXPECT_GE(d.descriptors.error(D::shoulder_rise_ventral), 0.2 / d.length);
}

TEST(EdgeErrors, KernelGivesTheQuadraticFormOfTheCorrelation) {
  const std::size_t n = 200;
  const double step = 1.3;
  const double length = 4.0;
  std::vector<double> g(n);
  for (std::size_t i = 0; i < n; ++i) {
    g[i] = std::sin(0.7 * static_cast<double>(i)) + (i < 20 ? 1.0 : 0.0);
  }
  double plain = 0.0;
  for (std::size_t i = 0; i < n; ++i) {
    for (std::size_t j = 0; j < n; ++j) {
      const std::size_t between = i > j ? i - j : j - i;
      const double apart = static_cast<double>(std::min(between, n - between)) * step;
      plain += g[i] * g[j] * std::exp(-0.5 * apart * apart / (length * length));
    }
  }
  EXPECT_NEAR(EdgeError(0.3, length, step).of(g), 0.3 * std::sqrt(plain), 2e-3 * std::sqrt(plain));
}

TEST(EdgeErrors, WrongCorrelationWouldBeSeen) {
  // Taking correlated noise for independent noise must miss by far on an area.
  const std::vector<double> g(200, 1.0);
  const double right = EdgeError(1.0, 5.0, 1.0).of(g);
  const double wrong = EdgeError(1.0, 0.1, 1.0).of(g);
  EXPECT_GT(right, 3.0 * wrong);
}

TEST(EdgeErrors, RoughnessOfTheOutlineIsFoundWhereNobodyStatesIt) {
  std::mt19937_64 random(5);
  std::normal_distribution<double> noise(0.0, 0.15);
  Polygon rough = shapes::ellipse(60.0, 45.0, 256);
  for (Point& p : rough) {
    p *= 1.0 + noise(random) / p.norm();
  }
  const ShapeDescription d = describe_outline(rough);
  // Each even point is the mean over one step: independent noise of 0.15 is halved or so by that.
  EXPECT_GT(d.edge_sd, 0.05);
  EXPECT_LT(d.edge_sd, 0.15);
  EXPECT_LT(describe_outline(shapes::ellipse(60.0, 45.0, 256)).edge_sd, 0.01);
}

}  // namespace
}  // namespace maturity
