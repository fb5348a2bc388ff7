#include "libmaturity/outline/edge_steps.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>
#include <utility>

namespace maturity {

namespace {

constexpr double kLightWeight = 0.35;  // of light against colour ratios in the edge strength

// How the field changes from just outside to just inside at a point of the outline. Skin is
// yellower than any board or shadow: an edge that loses yellow going in is a shadow's, and counts
// against.
double step_inwards(const ColourField& field, const Point& at, const Point& inward) {
  const auto value = [&](double reach, const std::vector<float>& plane) {
    const int x =
        std::clamp(static_cast<int>(std::lround(at.x() + reach * inward.x())), 0, field.width - 1);
    const int y =
        std::clamp(static_cast<int>(std::lround(at.y() + reach * inward.y())), 0, field.height - 1);
    return static_cast<double>(plane[field.index(x, y)]);
  };
  constexpr double kReach = 2.2;
  const auto change = [&](const std::vector<float>& plane) {
    return value(kReach, plane) - value(-kReach, plane);
  };
  const double yellow = change(field.yellow);
  const double other = std::abs(change(field.green)) + kLightWeight * std::abs(change(field.light));
  return yellow > -0.05 ? yellow + other : yellow;
}

}  // namespace

std::vector<EdgeStep> edge_steps(const Polygon& outline, const ColourField& field) {
  const std::size_t n = outline.size();
  constexpr std::size_t kSpan = 3;
  if (n < 4 * kSpan) {
    return {};
  }
  const double sign = signed_area(outline) > 0.0 ? 1.0 : -1.0;
  std::vector<EdgeStep> steps;
  steps.reserve(n / 2);
  for (std::size_t i = 0; i < n; i += 2) {
    const Point& at = outline[i];
    if (at.x() <= 2 || at.y() <= 2 || at.x() >= field.width - 3 || at.y() >= field.height - 3) {
      continue;  // the edge of the photo is no edge of the fruit
    }
    const Point d = outline[(i + kSpan) % n] - outline[(i + n - kSpan) % n];
    const double length = std::max(1e-9, d.norm());
    steps.push_back({at, step_inwards(field, at, sign / length * Point(-d.y(), d.x()))});
  }
  return steps;
}

double low_step(std::vector<EdgeStep> steps, double share) {
  constexpr std::size_t kFewest = 3;
  if (steps.size() < kFewest) {
    return 0.0;
  }
  const auto at =
      steps.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(steps.size()));
  std::nth_element(steps.begin(), at, steps.end(),
                   [](const EdgeStep& a, const EdgeStep& b) { return a.step < b.step; });
  return at->step;
}

namespace {

// Median step of one outline where it runs apart from another; nothing where they hardly differ.
std::optional<double> step_apart(const Polygon& outline, const Polygon& other,
                                 const ColourField& field) {
  constexpr double kApart = 2.0;  // field pixels
  constexpr std::size_t kFewest = 3;
  std::vector<EdgeStep> steps = edge_steps(outline, field);
  std::erase_if(steps, [&](const EdgeStep& e) {
    return std::any_of(other.begin(), other.end(),
                       [&](const Point& p) { return (p - e.at).squaredNorm() < kApart * kApart; });
  });
  if (steps.size() < kFewest) {
    return std::nullopt;
  }
  return low_step(std::move(steps), 0.5);
}

}  // namespace

bool only_shadow_between(const Polygon& inner, const Polygon& outer, const ColourField& field) {
  constexpr double kLeastSkin = 0.25;
  constexpr double kMuchLess = 0.4;
  const auto at_outer = step_apart(outer, inner, field);
  const auto at_inner = step_apart(inner, outer, field);
  return at_outer && at_inner && *at_inner > kLeastSkin && *at_outer < kMuchLess * *at_inner;
}

}  // namespace maturity
