// Input that no estimate can be made of: each has its named error.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <stdexcept>

#include "libmaturity/readiness/block_estimate.h"
#include "tests/readiness/block_cases.h"

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

void expect_refused(const BlockData& data, const BlockRule& rule, const BlockOptions& options,
                    const char* text) {
  EXPECT_THAT([&] { estimate_block(data, rule, options); },
              ThrowsMessage<std::invalid_argument>(HasSubstr(text)));
}

TEST(BadBlockInput, DataAreNamed) {
  const BlockRule rule = cases::rule();
  BlockData data;
  expect_refused(data, rule, {}, "tree: no fruit");
  data = cases::oven_only();
  data.tree[2].clear();
  expect_refused(data, rule, {}, "tree, fruit in row 3: blank");
  data = cases::oven_only();
  data.oven[4] = 146.0;
  expect_refused(data, rule, {}, "oven, fruit in row 5 (tree 3): 146; expected dry matter within");
  data.oven[4] = std::numeric_limits<double>::infinity();
  expect_refused(data, rule, {}, "oven, fruit in row 5 (tree 3): inf");
  data = cases::meter_only();
  data.meter[0] = 0.0;
  expect_refused(data, rule, {}, "meter, fruit in row 1 (tree 1): 0");
  data = cases::oven_only();
  data.oven.pop_back();
  expect_refused(data, rule, {}, "oven: 9 values; expected 10");
  data = cases::oven_only();
  data.included.assign(10, false);
  expect_refused(data, rule, {}, "included: all false");
  data = cases::two_shapes();
  data.shape(1, 0) = std::numeric_limits<double>::infinity();
  expect_refused(data, rule, {}, "shape, fruit in row 2, column 1: inf");
  data = cases::two_shapes();
  data.shape.conservativeResize(3, Eigen::NoChange);
  expect_refused(data, rule, {}, "shape: 3 rows; expected 12");
}

TEST(BadBlockInput, RulesAndOptionsAreNamed) {
  const BlockData data = cases::two_shapes();
  BlockRule rule = cases::rule();
  rule.required_share = 90.0;
  expect_refused(data, rule, {}, "required_share: 90");
  rule.required_share = 0.5;
  expect_refused(data, rule, {}, "required_share: 0.5");
  rule = cases::rule();
  rule.confidence = 90.0;
  expect_refused(data, rule, {}, "confidence: 90");
  expect_refused(data, BlockRule{}, {}, "minimum_dm_pct: 0");
  BlockOptions options;
  options.meter_sep_n = 40;
  expect_refused(data, cases::rule(), options, "meter_sep_n: 40");
  options = {};
  options.meter_sep_pct = -1.0;
  expect_refused(data, cases::rule(), options, "meter_sep_pct: -1");
  options = {};
  options.oven_sd_pct = std::nan("");
  expect_refused(data, cases::rule(), options, "oven_sd_pct: nan");
  options = {};
  options.calibration = cases::calibration_about(0.0);
  options.descriptor_names = {"z1", "other"};
  expect_refused(data, cases::rule(), options, "descriptor_names: z1, other");
  options.descriptor_names = {"z1", "z2"};
  options.calibration->slopes_covariance(0, 0) = -0.1;
  expect_refused(data, cases::rule(), options, "smallest eigenvalue: -0.1");
  options.calibration = cases::calibration_about(0.0);
  options.calibration->version += 1;
  expect_refused(data, cases::rule(), options, "calibration.version");
}

}  // namespace
}  // namespace maturity
