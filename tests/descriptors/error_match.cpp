#include "tests/descriptors/error_match.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

#include "tests/shapes/edge_waves.h"
#include "tests/shapes/one_cultivar.h"
#include "tests/shapes/season_sections.h"

namespace maturity::shapes {

namespace {

constexpr double kPoseKnown = 0.98;

PosedOutline egg(double elongation, double taper) {
  constexpr std::size_t kPoints = 512;
  PosedOutline one;
  for (std::size_t i = 0; i < kPoints; ++i) {
    const double t = 2.0 * std::numbers::pi * (static_cast<double>(i) + 0.3) / kPoints;
    one.outline.emplace_back(60.0 * std::cos(t),
                             60.0 / elongation * std::sin(t) * (1.0 - taper * std::cos(t)));
  }
  one.stem = Point(-60.0, 0.0);
  one.nose = Point(60.0, 0.0);
  return one;
}

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

}  // namespace

std::vector<PosedOutline> outlines_of(const std::string& kind, std::size_t count,
                                      std::uint64_t seed) {
  std::vector<PosedOutline> some;
  std::mt19937_64 random(seed);
  if (kind == "season") {
    const std::vector<SeasonFruit> all = season_fruit();
    const auto by_x = [](const Point& a, const Point& b) { return a.x() < b.x(); };
    for (std::size_t k = 0; k < std::min(count, all.size()); ++k) {
      const Polygon& section = all[k * all.size() / std::min(count, all.size())].section;
      some.push_back(
          {section, Point::Zero(), *std::max_element(section.begin(), section.end(), by_x), +1});
    }
  } else if (kind == "superellipse" || kind == "curves") {
    const Invent invent = kind == "curves" ? curved_fruit : superellipse_fruit;
    for (const TraitFruit& one : many_fruit(invent, count, seed)) {
      some.push_back({one.fruit.outline, one.fruit.stem, one.fruit.nose, one.fruit.ventral_side});
    }
  } else if (kind == "egg" || kind == "ellipse") {
    std::uniform_real_distribution<double> elongation(1.1, 1.6);
    std::uniform_real_distribution<double> taper(0.03, 0.25);
    for (std::size_t k = 0; k < count; ++k) {
      const double e = elongation(random);
      some.push_back(egg(e, kind == "egg" ? taper(random) : 0.0));
    }
  } else {
    throw std::invalid_argument("kind: " + kind);
  }
  return some;
}

bool ErrorMatch::within(Descriptor descriptor, const Errors& some) const {
  const auto k = static_cast<std::size_t>(descriptor);
  const double least = kDrawnSd / (3.0 * length);
  const bool rise = descriptor == Descriptor::shoulder_rise_ventral ||
                    descriptor == Descriptor::shoulder_rise_dorsal;
  if (rise && some[k] < least && drawn[k] < least) {
    return true;
  }
  return some[k] >= 0.8 * drawn[k] && some[k] <= 1.2 * drawn[k];
}

std::vector<ErrorMatch> match_errors(const std::vector<PosedOutline>& fruit, int draws,
                                     bool find_pose, std::mt19937_64& random) {
  std::vector<ErrorMatch> matches;
  for (const PosedOutline& one : fruit) {
    DescribeOptions options;
    options.edge_sd = kDrawnSd;
    options.edge_correlation_length = kDrawnLength;
    if (!find_pose) {
      options.evidence.given_stem = one.stem;
      options.evidence.given_nose = one.nose;
      options.evidence.given_ventral_side = one.ventral_side;
    }
    const ShapeDescription base = describe_outline(one.outline, options);
    if (base.pose.axis_probability < kPoseKnown || base.pose.side_probability < kPoseKnown) {
      continue;
    }
    constexpr double kSmall = 1e-3;
    options.edge_sd = kSmall * kDrawnSd;
    const ShapeDescription first = describe_outline(one.outline, options);
    options.with_errors = false;
    const EdgeWaves waves(one.outline, kDrawnLength);
    std::array<std::vector<double>, kDescriptorCount> values;
    for (int i = 0; i < draws; ++i) {
      const ShapeDescription drawn = describe_outline(waves.draw(kDrawnSd, random), options);
      for (std::size_t k = 0; k < kDescriptorCount; ++k) {
        values[k].push_back(drawn.descriptors.value[k]);
      }
    }
    ErrorMatch match;
    match.length = base.length;
    for (std::size_t k = 0; k < kDescriptorCount; ++k) {
      match.stated[k] = base.descriptors.se[k];
      match.first_order[k] = first.descriptors.se[k] / kSmall;
      match.drawn[k] = spread(values[k]);
    }
    matches.push_back(match);
  }
  return matches;
}

double share_within(const std::vector<ErrorMatch>& matches, Descriptor descriptor,
                    Errors ErrorMatch::*which) {
  const auto count = std::count_if(matches.begin(), matches.end(), [&](const ErrorMatch& match) {
    return match.within(descriptor, match.*which);
  });
  return static_cast<double>(count) / static_cast<double>(matches.size());
}

}  // namespace maturity::shapes
