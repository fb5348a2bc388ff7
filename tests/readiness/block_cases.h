#pragma once

// Worked cases of the block estimate. Invented readings; the expected values were COMPUTED by a
// prototype of the same model in another language and, where a test says so, by other routes
// (dense covariance, random-walk MCMC, lme4).

#include <algorithm>
#include <cmath>
#include <limits>
#include <string>
#include <vector>

#include "libmaturity/core/version.h"
#include "libmaturity/readiness/block_data.h"
#include "libmaturity/readiness/block_estimate.h"

namespace maturity::cases {

inline constexpr double kMissing = std::numeric_limits<double>::quiet_NaN();

/// Rows of tree, shapes..., oven, meter.
struct Row {
  int tree;
  std::vector<double> shape;
  double oven;
  double meter;
};

inline BlockData block_of(const std::vector<Row>& rows) {
  BlockData data;
  const auto n = static_cast<Eigen::Index>(rows.size());
  const auto p = static_cast<Eigen::Index>(rows.front().shape.size());
  data.shape.resize(n, p);
  for (Eigen::Index i = 0; i < n; ++i) {
    const Row& row = rows[static_cast<std::size_t>(i)];
    data.tree.push_back(std::to_string(row.tree));
    for (Eigen::Index j = 0; j < p; ++j) {
      data.shape(i, j) = row.shape[static_cast<std::size_t>(j)];
    }
    data.oven.push_back(row.oven);
    data.meter.push_back(row.meter);
  }
  return data;
}

inline BlockData oven_only() {
  return block_of({{1, {}, 15.9, kMissing},
                   {1, {}, 16.8, kMissing},
                   {2, {}, 17.2, kMissing},
                   {2, {}, 15.1, kMissing},
                   {3, {}, 14.6, kMissing},
                   {3, {}, 16.3, kMissing},
                   {4, {}, 18.0, kMissing},
                   {4, {}, 16.9, kMissing},
                   {5, {}, 15.7, kMissing},
                   {5, {}, 16.4, kMissing}});
}

/// oven_only with one shape.
inline BlockData oven_and_shape() {
  BlockData data = oven_only();
  data.shape.resize(10, 1);
  data.shape.col(0) << -0.5, 0.4, 0.9, -0.8, -1.2, 0.1, 1.3, 0.6, -0.6, -0.2;
  return data;
}

inline BlockData two_shapes() {
  return block_of({{1, {0.62, 0.73}, 18.36, kMissing},
                   {1, {-0.32, 0.72}, kMissing, kMissing},
                   {2, {1.29, 0.29}, 18.27, kMissing},
                   {2, {0.41, 0.54}, kMissing, kMissing},
                   {3, {-0.91, -1.83}, 15.98, kMissing},
                   {3, {0.22, -0.61}, 17.93, kMissing},
                   {4, {-1.46, -1.38}, 16.71, kMissing},
                   {4, {-0.16, -1.03}, kMissing, kMissing},
                   {5, {-1.00, -1.19}, 18.21, kMissing},
                   {5, {1.14, -0.33}, 19.32, kMissing},
                   {6, {0.04, 0.28}, 17.67, kMissing},
                   {6, {1.34, 0.40}, kMissing, kMissing}});
}

inline BlockData shape_oven_meter() {
  return block_of({{1, {-0.56}, kMissing, 19.1},
                   {1, {-1.18}, 16.10, 15.9},
                   {1, {-0.10}, kMissing, 17.9},
                   {2, {1.36}, 17.07, 18.8},
                   {2, {0.45}, kMissing, 18.3},
                   {2, {0.91}, kMissing, 18.5},
                   {3, {-1.38}, 17.05, 17.8},
                   {3, {0.46}, kMissing, 19.8},
                   {3, {-0.48}, kMissing, 18.9},
                   {4, {1.91}, 20.79, 23.0},
                   {4, {1.12}, kMissing, 20.1},
                   {4, {1.17}, kMissing, 18.8},
                   {5, {0.67}, kMissing, 20.3},
                   {5, {1.27}, kMissing, 18.2},
                   {5, {1.31}, 19.97, 20.9},
                   {6, {-0.85}, kMissing, 18.3},
                   {6, {-0.98}, kMissing, 17.3},
                   {6, {-0.64}, 14.46, 16.7}});
}

/// shape_oven_meter, every other fruit read with a second meter instead (reading 2.0 lower), of
/// known error; some fruit with both.
inline BlockData two_meters() {
  BlockData data = shape_oven_meter();
  FurtherMeter second{std::vector<double>(data.tree.size(), kMissing), 0.8, 40};
  for (std::size_t i = 0; i < data.tree.size(); i += 2) {
    second.dm_pct[i] = data.meter[i] - 2.0;
    if (i % 3 != 0) {
      data.meter[i] = kMissing;
    }
  }
  data.further_meters.push_back(second);
  return data;
}

inline BlockData meter_only() {
  return block_of({{1, {}, kMissing, 17.1},
                   {1, {}, kMissing, 18.0},
                   {2, {}, kMissing, 18.4},
                   {2, {}, kMissing, 16.6},
                   {3, {}, kMissing, 15.5},
                   {3, {}, kMissing, 17.7},
                   {4, {}, kMissing, 19.3},
                   {4, {}, kMissing, 17.8},
                   {5, {}, kMissing, 16.9},
                   {5, {}, kMissing, 17.2}});
}

inline BlockData three_oven() {
  return block_of({{1, {}, 17.0, kMissing}, {2, {}, 18.2, kMissing}, {3, {}, 16.1, kMissing}});
}

/// Slopes for two_shapes, learnt on shapes about this mean.
inline CalibrationSlopes calibration_about(double shape_mean) {
  CalibrationSlopes slopes;
  slopes.id = "c";
  slopes.names = {"z1", "z2"};
  slopes.version = method_version();
  slopes.slopes = Eigen::Vector2d(0.6, -0.4);
  slopes.slopes_covariance = 0.04 * Eigen::Matrix2d::Identity();
  slopes.shape_mean = Eigen::Vector2d::Constant(shape_mean);
  slopes.shape_covariance = Eigen::Matrix2d::Identity();
  return slopes;
}

/// Minimum 15 %, share 0.9, confidence 0.9.
inline BlockRule rule() {
  BlockRule rule;
  rule.minimum_dm_pct = 15.0;
  return rule;
}

/// Shape on, no node dropped.
inline BlockOptions options() {
  BlockOptions options;
  options.use_shape = UseShape::on;
  options.drop_nodes_below = 0.0;
  return options;
}

/// Is `wanted` among the block's flags or reasons?
inline bool has(const BlockEstimate& block, BlockFlag wanted) {
  return std::find(block.flags.begin(), block.flags.end(), wanted) != block.flags.end();
}
inline bool has(const BlockEstimate& block, BlockReason wanted) {
  return std::find(block.reasons.begin(), block.reasons.end(), wanted) != block.reasons.end();
}

}  // namespace maturity::cases
