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
    for (int m = 0; m < rows.meters(); ++m) {
      add(rows.readings_of(m));
    }
  }
  return sum / n;
}

/// The model of what a meter of slope 1 would have read.
GridModel at_slope(const GridModel& model, double slope) {
  GridModel scaled = model;
  const double centre = centre_of(model.rows);
  const auto turn = [&](std::vector<double>& readings) {
    for (double& reading : readings) {
      reading = centre + (reading - centre) / slope;
    }
  };
  turn(scaled.rows.meter);
  for (std::vector<double>& readings : scaled.rows.further_meters) {
    turn(readings);
  }
  for (VariancePoint& point : scaled.variances) {
    point.meter_sd /= slope;
  }
  for (MeterErrorGuess& guess : scaled.further_errors) {
    guess.sd /= slope;
  }
  scaled.meter_bias_sd /= slope;
  return scaled;
}

/// Mean and SD over parts of a mixture.
class MeterMoments {
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

/// Logs of prior weight times evidence to weights that sum to 1.
void weigh(std::vector<SlopeFit>& fits) {
  double best = -std::numeric_limits<double>::infinity();
  for (const SlopeFit& fit : fits) {
    best = std::max(best, fit.weight);
  }
  double total = 0.0;
  for (SlopeFit& fit : fits) {
    fit.weight = std::exp(fit.weight - best);
    total += fit.weight;
  }
  for (SlopeFit& fit : fits) {
    fit.weight /= total;
  }
}

/// Takes out the lightest nodes that together weigh no more than kNegligible: no chance moves by
/// more than that, and what is asked of the mixture takes half as long.
void drop_light(std::vector<GridNode>& nodes) {
  constexpr double kNegligible = 2e-5;
  std::vector<double> weights;
  weights.reserve(nodes.size());
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

FittedBlock join(const std::vector<SlopeFit>& fits, bool drop) {
  FittedBlock fitted;
  std::vector<MeterMoments> phi(static_cast<std::size_t>(fits.front().posterior.phi.size()));
  std::vector<MeterMoments> fruit(fits.front().model.rows.tree.size());
  const auto first_bias = static_cast<std::size_t>(1 + fits.front().model.rows.x.cols());
  MeterMoments slope;
  for (const SlopeFit& part : fits) {
    const std::vector<MeanSd> predicted =
        predict_fruit(part.model, TreeSums(part.model.rows), part.posterior);
    for (GridNode node : part.posterior.nodes) {
      node.weight *= part.weight;
      fitted.nodes.push_back(node);
    }
    for (std::size_t i = 0; i < phi.size(); ++i) {
      const auto index = static_cast<Eigen::Index>(i);
      const double unit = i >= first_bias ? part.slope : 1.0;
      phi[i].add(part.weight, unit * part.posterior.phi[index],
                 unit * part.posterior.phi_sd[index]);
    }
    for (std::size_t i = 0; i < fruit.size(); ++i) {
      fruit[i].add(part.weight, predicted[i].mean, predicted[i].sd);
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
  for (const MeterMoments& one : fruit) {
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

std::vector<SlopeFit> fit_at_slopes(const GridModel& model,
                                    const std::vector<MeterSlopeNode>& slopes) {
  double readings = 0.0;
  for (int m = 0; m < model.rows.meters(); ++m) {
    for (const double reading : model.rows.readings_of(m)) {
      readings += std::isnan(reading) ? 0.0 : 1.0;
    }
  }
  if (readings == 0.0 || (slopes.size() == 1 && slopes.front().slope == 1.0)) {
    return {{1.0, 1.0, model, grid_posterior(model, TreeSums(model.rows))}};
  }
  std::vector<SlopeFit> fits;
  for (const MeterSlopeNode& node : slopes) {
    SlopeFit fit;
    fit.slope = node.slope;
    fit.model = at_slope(model, node.slope);
    fit.model.drop_below *= kLighterBySlope;
    fit.posterior = grid_posterior(fit.model, TreeSums(fit.model.rows));
    fit.weight =
        std::log(node.weight) + fit.posterior.log_evidence - readings * std::log(node.slope);
    fits.push_back(std::move(fit));
  }
  weigh(fits);
  return fits;
}

FittedBlock fit_block(const GridModel& model, const std::vector<MeterSlopeNode>& slopes) {
  std::vector<SlopeFit> fits = fit_at_slopes(model, slopes);
  if (fits.size() == 1 && fits.front().slope == 1.0) {
    GridPosterior& posterior = fits.front().posterior;
    FittedBlock fitted;
    fitted.fruit = predict_fruit(model, TreeSums(model.rows), posterior);
    fitted.nodes = std::move(posterior.nodes);
    fitted.phi = std::move(posterior.phi);
    fitted.phi_sd = std::move(posterior.phi_sd);
    return fitted;
  }
  return join(fits, model.drop_below > 0.0);
}

}  // namespace maturity
