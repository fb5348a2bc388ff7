#include "tools/simulate/calibration_ranges.h"

#include <array>
#include <cmath>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "libmaturity/calibration/meter_fit.h"
#include "libmaturity/calibration/shape_calibration.h"
#include "tools/simulate/real_fruit.h"
#include "tools/simulate/real_pairs.h"

namespace maturity::simulate {

namespace {

/// Oven values and predictions of fruit in blocks and visits.
struct LabelledPairs {
  std::vector<double> oven;
  std::vector<double> predicted;
};

struct RangeCount {
  double held = 0.0;
  double of = 0.0;

  void add(const std::optional<Bounds>& range, double truth) {
    if (range) {
      held += range->low <= truth && truth <= range->high ? 1.0 : 0.0;
      of += 1.0;
    }
  }
  std::string text() const { return of > 0.0 ? decimals(held / of, 3) : "-"; }
};

/// Bias, SEP, RMSEP, slope, R2.
using RangeCounts = std::array<RangeCount, 5>;

void add(RangeCounts& counts, const Agreement& stated, const Agreement& truth) {
  counts[0].add(stated.bias_interval, truth.bias);
  counts[1].add(stated.sep_interval, truth.sep);
  counts[2].add(stated.rmsep_interval, truth.rmsep);
  counts[3].add(stated.slope_interval, truth.slope);
  counts[4].add(stated.r_squared_interval, truth.r_squared);
}

void add(RangeCounts& counts, const ClusteredAgreement& stated, const Agreement& truth) {
  counts[0].add(stated.bias_interval, truth.bias);
  counts[1].add(stated.sep_interval, truth.sep);
  counts[2].add(stated.rmsep_interval, truth.rmsep);
  counts[3].add(stated.slope_interval, truth.slope);
  counts[4].add(stated.r_squared_interval, truth.r_squared);
}

void print_row(std::ostream& out, const std::string& what, const RangeCounts& blocks,
               const RangeCounts& fruit) {
  out << "| " << what << " |";
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    out << " " << blocks.at(i).text() << " (" << fruit.at(i).text() << ") |";
  }
  out << "\n";
}

/// A meter whose bias, and slope (SD 0.1), move between visits.
struct MovingMeter {
  double bias_sd = 0.4;
  int visits = 6;
};

MeterPairs read_by(const MovingMeter& meter, int visits, RandomStream& random) {
  constexpr double kBias = 0.5;
  constexpr double kSlope = 0.85;
  constexpr double kSlopeSd = 0.1;
  constexpr double kError = 0.7;
  constexpr double kCentre = 16.0;
  MeterPairs pairs;
  for (int v = 0; v < visits; ++v) {
    const double level = kCentre + normal_number(random);
    const double bias = kBias + meter.bias_sd * normal_number(random);
    const double slope = kSlope + kSlopeSd * normal_number(random);
    // 5 to 15 fruit a visit: sizes that differ.
    const auto fruit = 5 + static_cast<int>(random.below(11));
    for (int i = 0; i < fruit; ++i) {
      pairs.block.push_back(std::to_string(v));
      pairs.oven.push_back(level + kFruitSd * normal_number(random));
      pairs.meter.push_back(kCentre + slope * (pairs.oven.back() - kCentre) + bias +
                            kError * normal_number(random));
    }
  }
  return pairs;
}

void print_meters(std::ostream& out, const Settings& settings) {
  constexpr std::array<int, 4> kVisits{3, 4, 6, 10};
  constexpr int kMany = 20000;
  std::size_t row = 0;
  for (const double bias_sd : {0.4, 0.75}) {
    RandomStream many(seed_of(settings, 12, 100 + row));
    const MovingMeter meter{bias_sd, kMany};
    const MeterPairs all = read_by(meter, kMany, many);
    const Agreement truth = agreement(all.oven, all.meter);
    for (const int visits : kVisits) {
      RangeCounts blocks{};
      RangeCounts fruit{};
      RandomStream random(seed_of(settings, 12, row++));
      for (int r = 0; r < settings.replicates; ++r) {
        const MeterFit fit = fit_meter(read_by(meter, visits, random));
        add(blocks, fit.by_block.value(), truth);
        add(fruit, fit.overall, truth);
      }
      print_row(out,
                "meter, bias SD " + decimals(bias_sd, 2) + ", " + std::to_string(visits) +
                    " visits of 5 to 15 fruit",
                blocks, fruit);
    }
  }
}

/// Blocks visited twice, 8 fruit each; two descriptors whose slopes differ between blocks.
struct MovingBlocks {
  double level_sd = 1.5;
  double visit_sd = 0.5;
};

constexpr int kShapes = 2;
constexpr std::array<double, kShapes> kTrueSlopes{0.7, -0.4};

ShapeTraining grown(const MovingBlocks& from, int blocks, RandomStream& random) {
  constexpr int kVisitsEach = 2;
  constexpr int kFruit = 8;
  ShapeTraining training;
  training.names = {"d0", "d1"};
  training.shape.resize(static_cast<Eigen::Index>(blocks) * kVisitsEach * kFruit, kShapes);
  Eigen::Index row = 0;
  for (int b = 0; b < blocks; ++b) {
    const double level = 16.0 + from.level_sd * normal_number(random);
    std::array<double, kShapes> slopes = kTrueSlopes;
    for (double& slope : slopes) {
      slope += 0.15 * normal_number(random);
    }
    for (int v = 0; v < kVisitsEach; ++v) {
      const double of_visit = level + from.visit_sd * normal_number(random);
      for (int i = 0; i < kFruit; ++i, ++row) {
        double value = of_visit + normal_number(random);
        for (Eigen::Index j = 0; j < kShapes; ++j) {
          training.shape(row, j) = normal_number(random);
          value += slopes.at(static_cast<std::size_t>(j)) * training.shape(row, j);
        }
        training.fold.push_back(std::to_string(b));
        training.block.push_back(training.fold.back() + " visit " + std::to_string(v));
        training.oven.push_back(value);
      }
    }
  }
  return training;
}

/// What slopes and level of `made_from` make of a block that they never saw.
struct NewBlock {
  LabelledPairs raw;
  LabelledPairs local;
};

void predict_new(const ShapeCalibration& made, const ShapeTraining& made_from,
                 const ShapeTraining& next, NewBlock& pairs) {
  const auto explained = [&](const ShapeTraining& fruit, std::size_t i) {
    double sum = 0.0;
    for (std::size_t j = 0; j < made.names.size(); ++j) {
      const Eigen::Index column = made.names[j] == "d0" ? 0 : 1;
      sum += made.slopes[static_cast<Eigen::Index>(j)] *
             fruit.shape(static_cast<Eigen::Index>(i), column);
    }
    return sum;
  };
  // Visits are of one size, so their mean is that of the fruit.
  double level = 0.0;
  for (std::size_t i = 0; i < made_from.oven.size(); ++i) {
    level +=
        (made_from.oven[i] - explained(made_from, i)) / static_cast<double>(made_from.oven.size());
  }
  const std::size_t visit = next.oven.size() / 2;
  for (std::size_t first = 0; first < next.oven.size(); first += visit) {
    double own = 0.0;
    for (std::size_t i = first; i < first + visit; ++i) {
      own += (next.oven[i] - explained(next, i)) / static_cast<double>(visit);
    }
    // Each fruit by the mean of the visit's others.
    const double others = static_cast<double>(visit) / static_cast<double>(visit - 1);
    for (std::size_t i = first; i < first + visit; ++i) {
      pairs.raw.oven.push_back(next.oven[i]);
      pairs.raw.predicted.push_back(level + explained(next, i));
      pairs.local.oven.push_back(next.oven[i]);
      pairs.local.predicted.push_back(next.oven[i] -
                                      (next.oven[i] - own - explained(next, i)) * others);
    }
  }
}

void print_shapes(std::ostream& out, const Settings& settings) {
  constexpr std::array<int, 4> kBlocks{3, 4, 6, 10};
  // Far more new blocks than calibrations, so that what is true is known well enough.
  constexpr int kNewBlocks = 20;
  std::size_t row = 0;
  CrossValidationOptions options;
  options.permutations = 19;  // the P-value is not looked at
  const CalibrationSource source{"Invented", "", "", "simulated"};
  for (const int blocks : kBlocks) {
    RandomStream random(seed_of(settings, 13, row++));
    std::vector<ShapeCalibration> all;
    NewBlock next;
    for (int r = 0; r < settings.replicates; ++r) {
      all.push_back(calibrate_shape(grown({}, blocks, random), source, options));
      // Left-out blocks are predicted from one block less.
      const ShapeTraining fewer = grown({}, blocks - 1, random);
      const ShapeCalibration made = calibrate_shape(fewer, source, options);
      for (int b = 0; b < kNewBlocks; ++b) {
        predict_new(made, fewer, grown({}, 1, random), next);
      }
    }
    const Agreement raw = agreement(next.raw.oven, next.raw.predicted);
    const Agreement local = agreement(next.local.oven, next.local.predicted);
    std::array<RangeCounts, 4> counts{};
    for (const ShapeCalibration& one : all) {
      add(counts[0], one.new_block_ranges.value(), raw);
      add(counts[1], one.new_block.value(), raw);
      add(counts[2], one.after_local_mean_ranges.value(), local);
      add(counts[3], one.after_local_mean.value(), local);
    }
    counts[2][0] = counts[3][0] = {};  // no bias by construction
    const std::string where = std::to_string(blocks) + " blocks x 2 visits x 8 fruit";
    print_row(out, "shape as predicted, " + where, counts[0], counts[1]);
    print_row(out, "shape, mean put right, " + where, counts[2], counts[3]);
  }
}

}  // namespace

void print_calibration_ranges(std::ostream& out, const Settings& settings) {
  out << "| blocks as the units drawn (fruit taken as independent) | bias | SEP | RMSEP | slope | "
         "R2 |\n|---|---|---|---|---|---|\n";
  print_meters(out, settings);
  print_shapes(out, settings);
  out << "\nMonte Carlo standard error of 0.95: "
      << decimals(std::sqrt(0.95 * 0.05 / settings.replicates), 3) << " (" << settings.replicates
      << " calibrations per row).\n";
}

}  // namespace maturity::simulate
