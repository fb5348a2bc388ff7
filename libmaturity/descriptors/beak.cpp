#include "libmaturity/descriptors/beak.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "libmaturity/descriptors/bend.h"
#include "libmaturity/descriptors/touching_disc.h"

namespace maturity {

namespace {

/// Where a beak may be: share of the length from the proximal end.
constexpr double kBeakFrom = 0.55;
/// Arc over which curvature is smoothed, in L; neighbours nearer than this do not bound a disc.
constexpr double kSmoothing = 0.03;
/// How far along the outline a touching disc is tested, in L: half round a disc of radius 0.2 L.
constexpr double kFarthest = 0.65;

bool in_stretch(const FramedOutline& outline, std::size_t i) {
  return outline.points[i].y() > 0.0 && outline.along(i) > kBeakFrom;
}

/// Centre of the disc of that radius that touches the outline between an inner point (disc too
/// small, excess > 0) and its outer neighbour (excess <= 0), at the place where it just fits.
Point fitting_centre(const FramedOutline& outline, std::size_t inner, double excess_inner,
                     std::size_t outer, double excess_outer, double radius) {
  const double share = excess_inner / std::max(1e-12, excess_inner - excess_outer);
  const Point at = outline.points[inner] + share * (outline.points[outer] - outline.points[inner]);
  const Point normal =
      (outline.normals[inner] + share * (outline.normals[outer] - outline.normals[inner]))
          .normalized();
  return at - radius * normal;
}

/// With edge noise any point whose bend is nearly the greatest may become the greatest: the answer
/// is spread over them, by how near they come.
void add_greatest(EdgeGradient& gradient, const FramedOutline& outline, const Bend& bend,
                  double greatest) {
  constexpr double kNearly = 0.05;
  double sum = 0.0;
  for (const bool adding : {false, true}) {
    const double whole = sum;
    for (std::size_t i = 0; i < outline.size(); ++i) {
      if (!in_stretch(outline, i)) {
        continue;
      }
      const double short_by = (greatest - bend.at(i)) / (kNearly * std::abs(greatest));
      const double weight = std::exp(-0.5 * short_by * short_by);
      if (adding && weight > 0.01) {
        bend.add(gradient, i, weight / whole * outline.length);
      } else {
        sum += weight;
      }
    }
  }
}

}  // namespace

TouchingCurvatures::TouchingCurvatures(const FramedOutline& outline)
    : outline_(outline), known_(outline.size(), -1.0) {
  gap_ = std::max<std::ptrdiff_t>(1, std::lround(kSmoothing * outline.length / outline.step()));
  // Points farther along the edge than half round the largest disc do not bound it on a plain
  // flank.
  reach_ = std::min(static_cast<std::ptrdiff_t>(outline.size() / 2),
                    static_cast<std::ptrdiff_t>(kFarthest * outline.length / outline.step()));
}

double TouchingCurvatures::at(std::size_t i) {
  if (known_[i] < 0.0) {
    known_[i] = touching_disc(outline_, i, outline_.normals[i], gap_, reach_).curvature;
  }
  return known_[i];
}

Beak find_beak(const FramedOutline& outline, TouchingCurvatures& touching, double share) {
  Beak best;
  const double radius = share * outline.length;
  best.radius = radius;
  const auto excess = [&](std::size_t at) { return touching.at(at) * radius - 1.0; };
  const std::size_t n = outline.size();
  // Counter-clockwise, the ventral distal stretch runs from the nose towards the stem end.
  std::size_t i = outline.most_distal;
  for (std::size_t seen = 0; seen < n; ++seen, i = outline.next(i)) {
    if (outline.along(i) <= kBeakFrom && outline.points[i].y() > 0.0) {
      break;
    }
    if (!in_stretch(outline, i)) {
      continue;
    }
    double inside = excess(i);
    if (inside <= 0.0) {
      continue;
    }
    // A run of points outside the opening: follow it back and forth to where the disc fits.
    std::size_t from = i;
    double from_excess = inside;
    std::size_t before = outline.before(from);
    double before_excess = excess(before);
    for (std::size_t k = 0; k < n / 4 && before_excess > 0.0; ++k) {
      from = before;
      from_excess = before_excess;
      before = outline.before(before);
      before_excess = excess(before);
    }
    std::size_t to = i;
    double to_excess = inside;
    std::size_t after = outline.next(to);
    double after_excess = excess(after);
    for (std::size_t k = 0; k < n / 4 && after_excess > 0.0; ++k) {
      to = after;
      to_excess = after_excess;
      after = outline.next(after);
      after_excess = excess(after);
    }
    Beak beak;
    beak.radius = radius;
    beak.from = from;
    beak.to = to;
    // On a lone beak one disc touches both flanks; the mean of the two finds is steadier.
    beak.centre = 0.5 * (fitting_centre(outline, from, from_excess, before, before_excess, radius) +
                         fitting_centre(outline, to, to_excess, after, after_excess, radius));
    for (std::size_t k = from;; k = outline.next(k)) {
      const double height = (outline.points[k] - beak.centre).norm() - radius;
      if (height > beak.height && in_stretch(outline, k)) {
        beak.height = height;
        beak.apex = k;
      }
      if (k == to) {
        break;
      }
    }
    if (beak.height > best.height) {
      best = beak;
    }
    // Go on after this run.
    while (i != to && seen < n) {
      i = outline.next(i);
      ++seen;
    }
  }
  return best;
}

double measure_beak_prominence(const FramedOutline& outline, const Beak& beak,
                               EdgeGradient* gradient) {
  const double value = beak.height / outline.length;
  if (gradient == nullptr || !(beak.height > 0.0)) {
    return value;
  }
  const double factor = 1.0 / outline.length;
  const Point out = (outline.points[beak.apex] - beak.centre).normalized();
  gradient->add(beak.apex, factor * out);
  // The centre keeps its distance to both flanks: n_from . dc = -d_from, n_to . dc = -d_to for
  // inward movements d; height answers by -out . dc, which is a mix of the two normals.
  const Point& a = outline.normals[beak.from];
  const Point& b = outline.normals[beak.to];
  const double det = a.x() * b.y() - a.y() * b.x();
  double by_radius = -1.0;
  if (std::abs(det) > 1e-6) {
    // out = alpha a + beta b.
    const double alpha = (out.x() * b.y() - out.y() * b.x()) / det;
    const double beta = (a.x() * out.y() - a.y() * out.x()) / det;
    // Flank a moving outward by d lets the centre follow: a . dc = d.
    gradient->add(beak.from, -factor * alpha * a);
    gradient->add(beak.to, -factor * beta * b);
    // A larger disc is pushed inward: a . dc = b . dc = -dr.
    by_radius += alpha + beta;
  }
  add_length(gradient, outline, factor * (kBeakDisc * by_radius - value));
  return value;
}

double measure_beak_curvature(const FramedOutline& outline, EdgeGradient* gradient) {
  const Bend bend(outline, kSmoothing * outline.length);
  double greatest = -std::numeric_limits<double>::infinity();
  std::size_t apex = outline.size();
  for (std::size_t i = 0; i < outline.size(); ++i) {
    if (!in_stretch(outline, i)) {
      continue;
    }
    const double curvature = bend.at(i);
    if (curvature > greatest) {
      greatest = curvature;
      apex = i;
    }
  }
  if (apex == outline.size()) {
    return std::numeric_limits<double>::quiet_NaN();
  }
  if (gradient != nullptr) {
    add_greatest(*gradient, outline, bend, greatest);
    add_length(gradient, outline, greatest);
  }
  return greatest * outline.length;
}

}  // namespace maturity
