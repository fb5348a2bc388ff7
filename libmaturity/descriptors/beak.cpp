#include "libmaturity/descriptors/beak.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace maturity {

namespace {

/// Where a beak may be: share of the length from the proximal end, and off the axis, in L. Nearer
/// to the tip, or to the axis, lies the nose itself.
constexpr double kBeakFrom = 0.55;
constexpr double kBeakTo = 0.97;
constexpr double kBeakOffAxis = 0.03;
/// Size of the errors that photos leave in a rise, over L.
constexpr double kRiseError = 0.002;

bool in_stretch(const FramedOutline& outline, std::size_t i) {
  return outline.points[i].y() > 0.0 && outline.along(i) > kBeakFrom;
}

/// With edge noise any point whose bend is nearly the greatest may become the greatest: the answer
/// is spread over them, by how near they come.
void add_greatest(EdgeGradient& gradient, const FramedOutline& outline, const BendLine& line,
                  double greatest) {
  constexpr double kNearly = 0.05;
  double sum = 0.0;
  for (const bool adding : {false, true}) {
    const double whole = sum;
    for (std::size_t i = 0; i < outline.size(); ++i) {
      if (!in_stretch(outline, i)) {
        continue;
      }
      const double short_by = (greatest - line.curvature[i]) / (kNearly * std::abs(greatest));
      const double weight = std::exp(-0.5 * short_by * short_by);
      if (adding && weight > 0.01) {
        line.bend.add(gradient, i, weight / whole * outline.length);
      } else {
        sum += weight;
      }
    }
  }
}

}  // namespace

std::optional<Beak> find_beak(const FramedOutline& outline) {
  const auto off_axis = [&](std::size_t i) {
    return in_stretch(outline, i) && outline.along(i) < kBeakTo &&
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
  for (std::size_t seen = 0; seen < n / 2 && off_axis(i); seen += kBeakStride) {
    beak.places.push_back(rises.at(i));
    i = outline.at(i, kBeakStride);
  }
  const auto lower = [](const EdgeRise& a, const EdgeRise& b) { return a.height < b.height; };
  beak.rise = *std::max_element(beak.places.begin(), beak.places.end(), lower);
  double sum = 0.0;
  for (const EdgeRise& place : beak.places) {
    beak.chance.push_back(std::exp((place.height - beak.rise.height) / kRiseError));
    sum += beak.chance.back();
  }
  for (std::size_t k = 0; k < beak.places.size(); ++k) {
    beak.chance[k] /= sum;
    beak.mean_place += beak.chance[k] * static_cast<double>(kBeakStride * k);
  }
  return beak;
}

void add_beak_place(EdgeGradient& gradient, const FramedOutline& outline, const Beak& beak,
                    double factor) {
  constexpr double kUnlikely = 0.01;
  for (std::size_t k = 0; k < beak.places.size(); ++k) {
    if (beak.chance[k] > kUnlikely) {
      const double off = static_cast<double>(kBeakStride * k) - beak.mean_place;
      add_rise(gradient, outline, beak.places[k], factor * beak.chance[k] * off / kRiseError);
    }
  }
}

double measure_beak_prominence(const FramedOutline& outline, const std::optional<Beak>& beak,
                               EdgeGradient* gradient) {
  if (!beak) {
    return std::numeric_limits<double>::quiet_NaN();
  }
  if (gradient != nullptr) {
    add_rise(*gradient, outline, beak->rise, 1.0);
  }
  return beak->rise.height;
}

double measure_beak_curvature(const FramedOutline& outline, const BendLine& line,
                              EdgeGradient* gradient) {
  double greatest = -std::numeric_limits<double>::infinity();
  std::size_t apex = outline.size();
  for (std::size_t i = 0; i < outline.size(); ++i) {
    if (!in_stretch(outline, i)) {
      continue;
    }
    const double curvature = line.curvature[i];
    if (curvature > greatest) {
      greatest = curvature;
      apex = i;
    }
  }
  if (apex == outline.size()) {
    return std::numeric_limits<double>::quiet_NaN();
  }
  if (gradient != nullptr) {
    add_greatest(*gradient, outline, line, greatest);
    add_length(gradient, outline, greatest);
  }
  return greatest * outline.length;
}

}  // namespace maturity
