#include "libmaturity/forecast/gain_forecast.h"

#include <Eigen/Cholesky>
#include <Eigen/LU>
#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <map>
#include <stdexcept>
#include <string>

#include "libmaturity/stats/normal.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

constexpr double kDaysPerWeek = 7.0;
constexpr double kDayNoise = 0.15;
constexpr double kGainDrift = 0.2;
constexpr double kLevelGuess = 16.0;
constexpr double kLevelGuessSd = 20.0;
constexpr StatedGain kGainGuess{0.8, 0.6};

struct Text {
  std::string_view name;
  std::string_view sentence;
};

constexpr std::array<Text, 3> kNoDate{{
    {"one_visit",
     "One visit gives no gain: visit again in about a week, or state the gain of earlier seasons."},
    {"not_rising",
     "Dry matter does not rise from visit to visit (rain and irrigation can do that): visit "
     "again."},
    {"beyond_horizon", "Not within the days that a straight line can be trusted: visit again."},
}};

/// Visits in order of day, those of one day made one.
struct Visits {
  std::vector<double> day;
  std::vector<double> value;
  /// Variance of each visit's own error, without the part that visits share.
  std::vector<double> own_variance;
};

void check(const std::vector<double>& day, const std::vector<double>& psi,
           const std::vector<double>& psi_sd, double minimum_dm_pct,
           const ForecastOptions& options) {
  if (day.empty()) {
    throw std::invalid_argument("day: no visit; expected at least one");
  }
  if (psi.size() != day.size() || psi_sd.size() != day.size()) {
    reject_argument(psi.size() != day.size() ? "psi, number of values" : "psi_sd, number of values",
                    static_cast<double>(psi.size() != day.size() ? psi.size() : psi_sd.size()),
                    std::to_string(day.size()) + ", one per day");
  }
  if (!(options.shared_sd >= 0.0)) {
    reject_argument("shared_sd", options.shared_sd, "at least 0 %");
  }
  for (std::size_t i = 0; i < day.size(); ++i) {
    const std::string visit = ", visit " + std::to_string(i + 1);
    if (!std::isfinite(day[i])) {
      reject_argument("day" + visit, day[i], "a finite number of days");
    }
    if (!std::isfinite(psi[i])) {
      reject_argument("psi" + visit, psi[i], "a finite value, %");
    }
    if (!(psi_sd[i] > 0.0) || !std::isfinite(psi_sd[i])) {
      reject_argument("psi_sd" + visit, psi_sd[i], "a finite value above 0 %");
    }
    if (options.shared_sd > psi_sd[i]) {
      reject_argument("shared_sd", options.shared_sd, "at most psi_sd of every visit");
    }
  }
  if (!(minimum_dm_pct >= 3.0 && minimum_dm_pct <= 40.0)) {
    reject_argument("minimum_dm_pct", minimum_dm_pct, "within 3 to 40 % of fresh weight");
  }
  if (!(options.confidence > 0.5 && options.confidence < 0.999)) {
    reject_argument("confidence", options.confidence,
                    "between 0.5 and 0.999 (a share: 0.9, not 90)");
  }
  if (options.horizon_days < 0) {
    reject_argument("horizon_days", options.horizon_days, "at least 0");
  }
  if (options.stated_gain && !(options.stated_gain->sd > 0.0)) {
    reject_argument("stated_gain.sd", options.stated_gain->sd, "above 0 % per week");
  }
}

Visits pooled(const std::vector<double>& day, const std::vector<double>& psi,
              const std::vector<double>& psi_sd, double shared_sd) {
  struct Sums {
    double precision = 0.0;
    double weighted = 0.0;
  };
  // A visit wholly made of shared error still has some of its own: keeps the pooling defined.
  constexpr double kLeastOwnVariance = 1e-12;
  std::map<double, Sums> days;
  for (std::size_t i = 0; i < day.size(); ++i) {
    const double own = std::max(kLeastOwnVariance, psi_sd[i] * psi_sd[i] - shared_sd * shared_sd);
    Sums& sums = days[day[i]];
    sums.precision += 1.0 / own;
    sums.weighted += psi[i] / own;
  }
  Visits visits;
  for (const auto& [when, sums] : days) {
    visits.day.push_back(when);
    visits.value.push_back(sums.weighted / sums.precision);
    visits.own_variance.push_back(1.0 / sums.precision);
  }
  return visits;
}

void fit_line(const Visits& visits, const ForecastOptions& options, GainForecast& forecast) {
  const auto n = static_cast<Eigen::Index>(visits.day.size());
  Eigen::MatrixXd design(n, 2);
  Eigen::VectorXd value(n);
  Eigen::MatrixXd covariance =
      Eigen::MatrixXd::Constant(n, n, options.shared_sd * options.shared_sd);
  for (Eigen::Index i = 0; i < n; ++i) {
    const auto v = static_cast<std::size_t>(i);
    design(i, 0) = 1.0;
    design(i, 1) = (visits.day[v] - forecast.last_day) / kDaysPerWeek;
    value[i] = visits.value[v];
    covariance(i, i) += visits.own_variance[v] + kDayNoise * kDayNoise;
  }
  const StatedGain gain = options.stated_gain.value_or(kGainGuess);
  const Eigen::Vector2d prior_mean(kLevelGuess, gain.mean);
  const Eigen::Vector2d prior_precision(1.0 / (kLevelGuessSd * kLevelGuessSd),
                                        1.0 / (gain.sd * gain.sd));
  const Eigen::LLT<Eigen::MatrixXd> factor(covariance);
  const Eigen::MatrixXd weighted = factor.solve(design);
  Eigen::Matrix2d precision = design.transpose() * weighted;
  precision += prior_precision.asDiagonal();
  forecast.covariance = precision.inverse();
  const Eigen::Vector2d line = forecast.covariance * (weighted.transpose() * value +
                                                      prior_precision.cwiseProduct(prior_mean));
  forecast.level = line[0];
  forecast.level_sd = std::sqrt(forecast.covariance(0, 0));
  if (n > 1 || options.stated_gain) {
    forecast.gain_per_week = line[1];
    forecast.gain_sd = std::sqrt(forecast.covariance(1, 1));
  }
}

void find_date(GainForecast& forecast) {
  if (!forecast.gain_per_week) {
    forecast.no_date = NoDate::one_visit;
    return;
  }
  if (*forecast.gain_per_week < 0.0) {
    forecast.no_date = NoDate::not_rising;
    return;
  }
  // The chance need not rise for ever (the error of the gain grows too): search, do not solve.
  const int first = static_cast<int>(std::ceil(forecast.last_day));
  for (int day = first; day <= forecast.last_day + forecast.horizon_days; ++day) {
    if (forecast.probability(day).value() >= forecast.confidence) {
      forecast.earliest_day = day;
      return;
    }
  }
  forecast.no_date = NoDate::beyond_horizon;
}

}  // namespace

std::string_view name(NoDate reason) { return kNoDate.at(static_cast<std::size_t>(reason)).name; }
std::string_view sentence(NoDate reason) {
  return kNoDate.at(static_cast<std::size_t>(reason)).sentence;
}

std::optional<LevelOnDay> GainForecast::level_on(double day) const {
  if (!gain_per_week) {
    return std::nullopt;
  }
  const double weeks = (day - last_day) / kDaysPerWeek;
  const Eigen::Vector2d at(1.0, weeks);
  const double drift = kGainDrift * std::max(0.0, weeks);
  return LevelOnDay{level + *gain_per_week * weeks,
                    std::sqrt(at.dot(covariance * at) + drift * drift)};
}

std::optional<double> GainForecast::probability(double day) const {
  const auto then = level_on(day);
  if (!then) {
    return std::nullopt;
  }
  const double z = (then->mean - minimum_dm_pct) / then->sd;
  return normal_cdf(z);
}

GainForecast forecast_readiness(const std::vector<double>& day, const std::vector<double>& psi,
                                const std::vector<double>& psi_sd, double minimum_dm_pct,
                                const ForecastOptions& options) {
  check(day, psi, psi_sd, minimum_dm_pct, options);
  const Visits visits = pooled(day, psi, psi_sd, options.shared_sd);
  GainForecast forecast;
  forecast.minimum_dm_pct = minimum_dm_pct;
  forecast.confidence = options.confidence;
  forecast.horizon_days = options.horizon_days;
  forecast.last_day = visits.day.back();
  fit_line(visits, options, forecast);
  find_date(forecast);
  return forecast;
}

}  // namespace maturity
