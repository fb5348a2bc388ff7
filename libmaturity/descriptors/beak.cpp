#include "libmaturity/descriptors/beak.h"

#include <algorithm>
#include <cmath>

namespace maturity {

namespace {

/// Where a beak may be: share of the length from the proximal end, and off the axis, in L. Nearer
/// to the tip, or to the axis, lies the nose itself.
constexpr double kBeakFrom = 0.55;
constexpr double kBeakTo = 0.97;
constexpr double kBeakOffAxis = 0.03;
/// Size of the errors that photos leave in a rise, over L.
constexpr double kRiseError = 0.002;

/// How far inside the stretch a place lies by what bounds it, over L; below 0 outside.
double inside(const FramedOutline& outline, std::size_t i) {
  const double along = outline.along(i);
  const double off_axis = outline.points[i].y() / outline.length - kBeakOffAxis;
  return std::min({off_axis, along - kBeakFrom, kBeakTo - along});
}

/// Share of the way from the last point inside to its neighbour (`step` +1 or -1) at which the
/// stretch ends.
double way_out(const FramedOutline& outline, std::size_t i, std::ptrdiff_t step) {
  const double here = inside(outline, i);
  const double there = inside(outline, outline.at(i, step));
  return here > there ? std::clamp(here / (here - there), 0.0, 1.0) : 0.0;
}

/// Takes the places that may be the beak's, and d(mean place)/d(height) of each.
template <typename Take>
void for_each_likely(const Beak& beak, const Take& take) {
  constexpr double kUnlikely = 0.01;
  for (std::size_t k = 0; k < beak.places.size(); ++k) {
    if (beak.chance[k] > kUnlikely) {
      const double off = static_cast<double>(kBeakStride * k) - beak.mean_place;
      take(beak.places[k], beak.chance[k] * off / kRiseError);
    }
  }
}

}  // namespace

bool in_beak_stretch(const FramedOutline& outline, std::size_t i) {
  return outline.points[i].y() > 0.0 && outline.along(i) > kBeakFrom;
}

std::optional<Beak> find_beak(const FramedOutline& outline) {
  const auto off_axis = [&](std::size_t i) {
    return in_beak_stretch(outline, i) && outline.along(i) < kBeakTo &&
           outline.points[i].y() > kBeakOffAxis * outline.length;
  };
  // Counter-clockwise, the ventral distal stretch runs from the nose towards the stem end.
  const std::size_t n = outline.size();
  std::size_t first = outline.most_distal;
  for (std::size_t seen = 0; seen < n / 4 && !off_axis(first); ++seen) {
    first = outline.next(first);
  }
  if (!off_axis(first)) {
    return std::nullopt;
  }
  const EdgeRises rises(outline, kBeakWindow);
  Beak beak;
  std::size_t i = first;
  std::size_t last = first;
  for (std::size_t seen = 0; seen < n / 2 && off_axis(i); seen += kBeakStride) {
    beak.places.push_back(rises.at(i));
    last = off_axis(outline.next(i)) ? outline.next(i) : i;
    i = outline.at(i, kBeakStride);
  }
  const auto lower = [](const EdgeRise& a, const EdgeRise& b) { return a.height < b.height; };
  const auto highest = std::max_element(beak.places.begin(), beak.places.end(), lower);
  beak.height = highest->height;
  // Where the highest place is next to an end of the stretch, the end itself lies between points.
  if (highest == beak.places.begin()) {
    beak.ends.push_back(rises.between(outline.before(first), 1.0 - way_out(outline, first, -1)));
  }
  if (highest + 1 == beak.places.end()) {
    beak.ends.push_back(rises.between(last, way_out(outline, last, +1)));
  }
  for (const RisePlace& end : beak.ends) {
    beak.height = std::max(beak.height, end.height());
  }
  double sum = 0.0;
  for (const EdgeRise& place : beak.places) {
    beak.chance.push_back(std::exp((place.height - beak.height) / kRiseError));
    sum += beak.chance.back();
  }
  for (std::size_t k = 0; k < beak.places.size(); ++k) {
    beak.chance[k] /= sum;
    beak.mean_place += beak.chance[k] * static_cast<double>(kBeakStride * k);
  }
  return beak;
}

double beak_place_error(const EdgeGradient& gradient, const Beak& beak) {
  const auto highest = static_cast<std::size_t>(
      std::max_element(beak.chance.begin(), beak.chance.end()) - beak.chance.begin());
  const std::vector<double> covariance =
      EdgeRises(gradient.outline(), kBeakWindow).covariances(gradient, beak.places[highest]);
  std::vector<double> by_height;
  for (std::size_t k = 0; k < beak.places.size(); ++k) {
    const double off = static_cast<double>(kBeakStride * k) - beak.mean_place;
    by_height.push_back(beak.chance[k] * off / kRiseError);
  }
  double variance = 0.0;
  for (std::size_t k = 0; k < by_height.size(); ++k) {
    for (std::size_t j = 0; j < by_height.size(); ++j) {
      const std::size_t lag = kBeakStride * (k > j ? k - j : j - k);
      variance += lag < covariance.size() ? by_height[k] * by_height[j] * covariance[lag] : 0.0;
    }
  }
  return std::sqrt(std::max(0.0, variance));
}

void add_beak_place(EdgeGradient& gradient, const FramedOutline& outline, const Beak& beak,
                    double factor) {
  const EdgeRises rises(outline, kBeakWindow);
  for_each_likely(beak, [&](const EdgeRise& place, double by_height) {
    rises.add(gradient, place, factor * by_height);
  });
}

std::vector<double> beak_place_answer(const FramedOutline& outline, const Beak& beak) {
  const EdgeRises rises(outline, kBeakWindow);
  std::vector<double> sum(outline.size(), 0.0);
  for_each_likely(beak, [&](const EdgeRise& place, double by_height) {
    const RiseAnswer answer = rises.answer_of(place);
    std::size_t i = answer.first;
    for (const double one : answer.by_normal) {
      sum[i] += by_height * one;
      i = outline.next(i);
    }
  });
  return sum;
}

}  // namespace maturity
