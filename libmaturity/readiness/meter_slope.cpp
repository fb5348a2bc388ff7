#include "libmaturity/readiness/meter_slope.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <utility>

#include "libmaturity/readiness/fruit_prediction.h"

namespace maturity {

namespace {

// Several slopes share the work, so that each may drop nodes ten times as heavy.
constexpr double kLighterBySlope = 10.0;

/// Mean of the oven readings, or of the meter readings where there is none.
double centre_of(const ModelRows& rows) {
  double sum = 0.0;
  double n = 0.0;
  const auto add = [&](const std::vector<double>& values) {
    for (const double value : values) {
      sum += std::isnan(value) ? 0.0 : value;
      n += std::isnan(value) ? 0.0 : 1.0;
    }
  };
  add(rows.oven);
  if (n == 0.0) {
    add(rows.meter);
  }
  return sum / n;
}

/// The model of what a meter of slope 1 would have read.
GridModel at_slope(const GridModel& model, double slope) {
  GridModel scaled = model;
  const double centre = centre_of(model.rows);
  for (double& reading : scaled.rows.meter) {
    reading = centre + (reading - centre) / slope;
  }
  for (VariancePoint& point : scaled.variances) {
    point.meter_sd /= slope;
  }
  scaled.meter_bias_sd /= slope;
  return scaled;
}

/// Mean and SD over parts of a mixture.
class Moments {
 public:
  void add(double weight, double mean, double sd) {
    first_ += weight * mean;
    second_ += weight * (sd * sd + mean * mean);
  }
  MeanSd result() const { return {first_, std::sqrt(std::max(0.0, second_ - first_ * first_))}; }

 private:
  double first_ = 0.0;
  double second_ = 0.0;
};

/// One fit of the mixture of slopes.
struct Part {
  double slope = 1.0;
  /// Log of prior weight times evidence, then the posterior weight.
  double weight = 0.0;
  GridPosterior posterior;
  std::vector<MeanSd> fruit;
};

void weigh(std::vector<Part>& parts) {
  double best = -std::numeric_limits<double>::infinity();
  for (const Part& part : parts) {
    best = std::max(best, part.weight);
  }
  double total = 0.0;
  for (Part& part : parts) {
    part.weight = std::exp(part.weight - best);
    total += part.weight;
  }
  for (Part& part : parts) {
    part.weight /= total;
  }
}

/// Takes out the lightest nodes that together weigh no more than kNegligible: no chance moves by
/// more than that, and what is asked of the mixture takes half as long.
void drop_light(std::vector<GridNode>& nodes) {
  constexpr double kNegligible = 2e-5;
  std::vector<double> weights;
  for (const GridNode& node : nodes) {
    weights.push_back(node.weight);
  }
  std::sort(weights.begin(), weights.end());
  double dropped = 0.0;
  std::size_t light = 0;
  while (light < weights.size() && dropped + weights[light] <= kNegligible) {
    dropped += weights[light++];
  }
  if (light == weights.size()) {
    return;
  }
  const double lightest = weights[light];
  nodes.erase(std::remove_if(nodes.begin(), nodes.end(),
                             [&](const GridNode& node) { return node.weight < lightest; }),
              nodes.end());
  for (GridNode& node : nodes) {
    node.weight /= 1.0 - dropped;
  }
}

FittedBlock join(const std::vector<Part>& parts, bool drop) {
  FittedBlock fitted;
  std::vector<Moments> phi(static_cast<std::size_t>(parts.front().posterior.phi.size()));
  std::vector<Moments> fruit(parts.front().fruit.size());
  Moments slope;
  for (const Part& part : parts) {
    for (GridNode node : part.posterior.nodes) {
      node.weight *= part.weight;
      fitted.nodes.push_back(node);
    }
    for (std::size_t i = 0; i < phi.size(); ++i) {
      const auto index = static_cast<Eigen::Index>(i);
      const double unit = i + 1 == phi.size() ? part.slope : 1.0;
      phi[i].add(part.weight, unit * part.posterior.phi[index],
                 unit * part.posterior.phi_sd[index]);
    }
    for (std::size_t i = 0; i < fruit.size(); ++i) {
      fruit[i].add(part.weight, part.fruit[i].mean, part.fruit[i].sd);
    }
    slope.add(part.weight, part.slope, 0.0);
  }
  if (drop) {
    drop_light(fitted.nodes);
  }
  fitted.phi.resize(static_cast<Eigen::Index>(phi.size()));
  fitted.phi_sd.resize(static_cast<Eigen::Index>(phi.size()));
  for (std::size_t i = 0; i < phi.size(); ++i) {
    const MeanSd value = phi[i].result();
    fitted.phi[static_cast<Eigen::Index>(i)] = value.mean;
    fitted.phi_sd[static_cast<Eigen::Index>(i)] = value.sd;
  }
  for (const Moments& one : fruit) {
    fitted.fruit.push_back(one.result());
  }
  fitted.meter_slope = slope.result();
  return fitted;
}

}  // namespace

std::vector<MeterSlopeNode> meter_slope_nodes(double mean, double sd) {
  if (sd == 0.0) {
    return {{mean, 1.0}};
  }
  const double off = std::sqrt(3.0) * sd;
  return {{mean - off, 1.0 / 6.0}, {mean, 2.0 / 3.0}, {mean + off, 1.0 / 6.0}};
}

FittedBlock fit_block(const GridModel& model, const std::vector<MeterSlopeNode>& slopes) {
  const TreeSums sums(model.rows);
  if (!sums.with_meter() || (slopes.size() == 1 && slopes.front().slope == 1.0)) {
    GridPosterior posterior = grid_posterior(model, sums);
    FittedBlock fitted;
    fitted.fruit = predict_fruit(model, sums, posterior);
    fitted.nodes = std::move(posterior.nodes);
    fitted.phi = std::move(posterior.phi);
    fitted.phi_sd = std::move(posterior.phi_sd);
    return fitted;
  }
  const auto readings =
      static_cast<double>(std::count_if(model.rows.meter.begin(), model.rows.meter.end(),
                                        [](double reading) { return !std::isnan(reading); }));
  std::vector<Part> parts;
  for (const MeterSlopeNode& node : slopes) {
    GridModel scaled = at_slope(model, node.slope);
    scaled.drop_below *= kLighterBySlope;
    const TreeSums scaled_sums(scaled.rows);
    Part part;
    part.slope = node.slope;
    part.posterior = grid_posterior(scaled, scaled_sums);
    part.fruit = predict_fruit(scaled, scaled_sums, part.posterior);
    part.weight =
        std::log(node.weight) + part.posterior.log_evidence - readings * std::log(node.slope);
    parts.push_back(std::move(part));
  }
  weigh(parts);
  return join(parts, model.drop_below > 0.0);
}

}  // namespace maturity
