#include "tools/simulate/tables.h"

#include <array>
#include <cmath>
#include <cstddef>
#include <iomanip>
#include <sstream>
#include <string>

#include "libmaturity/forecast/gain_forecast.h"
#include "libmaturity/stats/normal.h"
#include "libmaturity/stats/random_stream.h"
#include "tools/simulate/reliability_bins.h"
#include "tools/simulate/replicate.h"

namespace maturity::simulate {

namespace {

constexpr double kRequiredShare = 0.9;

std::string fixed(double value, int digits) {
  std::ostringstream text;
  text << std::fixed << std::setprecision(digits) << value;
  return text.str();
}

/// A share counted over replicates.
class Count {
 public:
  void add(bool yes) {
    yes_ += yes ? 1.0 : 0.0;
    n_ += 1.0;
  }
  double share() const { return yes_ / n_; }
  std::string text() const { return n_ > 0.0 ? fixed(share(), 3) : "-"; }

 private:
  double yes_ = 0.0;
  double n_ = 0.0;
};

double monte_carlo_se(double share, int n) { return std::sqrt(share * (1.0 - share) / n); }

}  // namespace

std::uint64_t seed_of(const Settings& settings, std::uint64_t table, std::size_t scenario) {
  return settings.seed + (table << 40U) + (static_cast<std::uint64_t>(scenario) << 24U);
}

void print_coverage(std::ostream& out, const std::vector<Scenario>& scenarios,
                    const Settings& settings) {
  out << "| scenario | | mean 95 | mean 80 | share 95 | share 80 | width of mean 95 | error of "
         "mean "
         "(RMS) | bias | plain t 95 |\n|---|---|---|---|---|---|---|---|---|---|\n";
  for (std::size_t s = 0; s < scenarios.size(); ++s) {
    if (scenarios[s].name.rfind(settings.only, 0) != 0) {
      continue;
    }
    const Sampler sampler(scenarios[s], seed_of(settings, 1, s));
    Count mean_95;
    Count mean_80;
    Count share_95;
    Count share_80;
    Count plain;
    double width = 0.0;
    double square = 0.0;
    double bias = 0.0;
    for (int r = 0; r < settings.replicates; ++r) {
      const Outcome outcome = run(sampler.draw(r), settings.method);
      mean_95.add(outcome.mean_covered);
      mean_80.add(outcome.mean_covered_80);
      share_95.add(outcome.share_covered);
      share_80.add(outcome.share_covered_80);
      plain.add(outcome.plain_mean_covered);
      const double error = outcome.mean - outcome.true_mean;
      width += outcome.mean_width / settings.replicates;
      square += error * error / settings.replicates;
      bias += error / settings.replicates;
    }
    out << "| " << scenarios[s].name << " | " << scenarios[s].what << " | " << mean_95.text()
        << " | " << mean_80.text() << " | " << share_95.text() << " | " << share_80.text() << " | "
        << fixed(width, 2) << " | " << fixed(std::sqrt(square), 2) << " | " << fixed(bias, 2)
        << " | " << plain.text() << " |\n";
  }
  out << "\nMonte Carlo standard error of a coverage of 0.95: "
      << fixed(monte_carlo_se(0.95, settings.replicates), 3)
      << "; of 0.80: " << fixed(monte_carlo_se(0.8, settings.replicates), 3) << " ("
      << settings.replicates << " blocks per row).\n";
}

void print_reliability(std::ostream& out, const std::vector<Scenario>& scenarios,
                       const Settings& settings) {
  ReliabilityBins model;
  ReliabilityBins plain;
  for (std::size_t s = 0; s < scenarios.size(); ++s) {
    if (scenarios[s].name.rfind(settings.only, 0) != 0) {
      continue;
    }
    const Sampler sampler(scenarios[s], seed_of(settings, 2, s));
    for (int r = 0; r < settings.replicates; ++r) {
      const Outcome outcome = run(sampler.draw(r), settings.method);
      const bool met = outcome.true_share >= kRequiredShare;
      model.add(outcome.readiness, met);
      plain.add(outcome.plain_readiness, met);
    }
  }
  out << "| stated readiness | block estimate: stated, true (SE), blocks | plain noncentral t: "
         "stated, true (SE), blocks |\n|---|---|---|\n";
  for (std::size_t b = 0; b < ReliabilityBins::count(); ++b) {
    out << "| " << ReliabilityBins::label(b) << " | " << model.cell(b) << " | " << plain.cell(b)
        << " |\n";
  }
}

void print_false_ready(std::ostream& out, const std::vector<Scenario>& scenarios,
                       const Settings& settings) {
  constexpr std::array<double, 4> kTrueShare{0.85, 0.89, 0.95, 0.98};
  out << "| scenario | true share | \"ready\" at confidence 0.9 | readiness >= 0.8 | >= 0.95 | "
         "\"not "
         "yet\" | plain noncentral t >= 0.9 |\n|---|---|---|---|---|---|---|\n";
  for (std::size_t s = 0; s < scenarios.size(); ++s) {
    if (scenarios[s].name.rfind(settings.only, 0) != 0) {
      continue;
    }
    const Sampler sampler(scenarios[s], seed_of(settings, 3, s));
    for (const double share : kTrueShare) {
      Count ready;
      Count at_80;
      Count at_95;
      Count not_yet;
      Count plain;
      for (int r = 0; r < settings.replicates; ++r) {
        const Outcome outcome = run(sampler.draw(r, share), settings.method);
        ready.add(outcome.ready);
        at_80.add(outcome.readiness >= 0.8);
        at_95.add(outcome.readiness >= 0.95);
        not_yet.add(outcome.not_yet);
        plain.add(outcome.plain_readiness >= kRequiredShare);
      }
      out << "| " << scenarios[s].name << " | " << fixed(share, 2) << " | " << ready.text() << " | "
          << at_80.text() << " | " << at_95.text() << " | " << not_yet.text() << " | "
          << plain.text() << " |\n";
    }
  }
  out << "\nMonte Carlo standard error of 0.05: "
      << fixed(monte_carlo_se(0.05, settings.replicates), 3)
      << "; of 0.5: " << fixed(monte_carlo_se(0.5, settings.replicates), 3) << " ("
      << settings.replicates << " blocks per row).\n";
}

void print_forecast(std::ostream& out, const Settings& settings) {
  constexpr int kRuns = 4000;
  constexpr double kVisitSd = 0.35;
  constexpr double kInterval = 1.959963984540054;
  constexpr std::array<int, 2> kAhead{7, 14};
  out << "| visits | 95 % interval covers, 7 and 14 days ahead | dates given | rule met on the "
         "date "
         "given |\n|---|---|---|---|\n";
  for (const int visits : {2, 3, 4}) {
    RandomStream random(seed_of(settings, 4, static_cast<std::size_t>(visits)));
    const auto normal = [&] { return normal_quantile(random.uniform() + 0x1.0p-54); };
    Count covered;
    Count dated;
    Count met;
    for (int r = 0; r < kRuns; ++r) {
      const double gain = 0.3 + 0.7 * random.uniform();
      const double level = kMinimum - 1.5 + 2.0 * random.uniform();
      std::vector<double> day;
      std::vector<double> psi;
      for (int v = 0; v < visits; ++v) {
        day.push_back(7.0 * v);
        psi.push_back(level + gain * (v - visits + 1) + kVisitSd * normal());
      }
      const GainForecast forecast =
          forecast_readiness(day, psi, std::vector<double>(day.size(), kVisitSd), kMinimum);
      for (const int ahead : kAhead) {
        const double weeks = ahead / 7.0;
        const double drift = 0.2 * weeks;
        const Eigen::Vector2d at(1.0, weeks);
        const double sd = std::sqrt(at.dot(forecast.covariance * at) + drift * drift);
        const double stated = forecast.level + forecast.gain_per_week.value() * weeks;
        covered.add(std::abs(stated - level - gain * weeks) <= kInterval * sd);
      }
      dated.add(forecast.earliest_day.has_value());
      if (forecast.earliest_day) {
        met.add(level + gain * (*forecast.earliest_day - forecast.last_day) / 7.0 >= kMinimum);
      }
    }
    out << "| " << visits << " | " << covered.text() << " | " << dated.text() << " | " << met.text()
        << " |\n";
  }
  out << "\nGain per week uniform on 0.3 to 1.0, visits a week apart, SD of each 0.35, level at "
         "the "
         "last visit uniform on -1.5 to +0.5 about the minimum; "
      << kRuns << " blocks per row (SE of 0.95: " << fixed(monte_carlo_se(0.95, kRuns), 3)
      << ").\n";
}

}  // namespace maturity::simulate
