#include "libmaturity/descriptors/fourier.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>
#include <string>

namespace maturity {

namespace {
constexpr double kTurn = 2.0 * std::numbers::pi;

/// cos and sin of n equal parts of a turn; kept, as nearly all outlines have one and the same n.
const Polygon& even_turns(std::size_t n) {
  thread_local Polygon turns;
  if (turns.size() != n) {
    turns.resize(n);
    for (std::size_t i = 0; i < n; ++i) {
      const double angle = kTurn * static_cast<double>(i) / static_cast<double>(n);
      turns[i] = Point(std::cos(angle), std::sin(angle));
    }
  }
  return turns;
}
}  // namespace

std::vector<Harmonic> elliptic_fourier(const Polygon& polygon, std::size_t count) {
  const double total = perimeter(polygon);
  if (polygon.size() < 3 || count < 1 || !(total > 0.0)) {
    throw std::invalid_argument("elliptic_fourier: " + std::to_string(polygon.size()) +
                                " points, " + std::to_string(count) + " harmonics, length " +
                                std::to_string(total) +
                                "; at least 3 points, 1 harmonic and some length are needed");
  }
  std::vector<Harmonic> harmonics(count);
  for (std::size_t h = 0; h < count; ++h) {
    const auto n = static_cast<double>(h + 1);
    double done = 0.0;
    Harmonic& out = harmonics[h];
    for (std::size_t i = 0; i < polygon.size(); ++i) {
      const Point side = polygon[(i + 1) % polygon.size()] - polygon[i];
      const double length = side.norm();
      if (!(length > 0.0)) {
        continue;
      }
      const double from = kTurn * n * done / total;
      const double to = kTurn * n * (done + length) / total;
      const double by_cos = (std::cos(to) - std::cos(from)) / length;
      const double by_sin = (std::sin(to) - std::sin(from)) / length;
      out.a += side.x() * by_cos;
      out.b += side.x() * by_sin;
      out.c += side.y() * by_cos;
      out.d += side.y() * by_sin;
      done += length;
    }
    const double scale = total / (2.0 * n * n * std::numbers::pi * std::numbers::pi);
    out = {out.a * scale, out.b * scale, out.c * scale, out.d * scale};
  }
  return harmonics;
}

std::vector<Harmonic> shifted(const std::vector<Harmonic>& harmonics, double phase) {
  std::vector<Harmonic> moved(harmonics.size());
  for (std::size_t h = 0; h < harmonics.size(); ++h) {
    const double c = std::cos(static_cast<double>(h + 1) * phase);
    const double s = std::sin(static_cast<double>(h + 1) * phase);
    const Harmonic& from = harmonics[h];
    moved[h] = {from.a * c + from.b * s, from.b * c - from.a * s, from.c * c + from.d * s,
                from.d * c - from.c * s};
  }
  return moved;
}

double fourier_area(const std::vector<Harmonic>& harmonics) {
  double sum = 0.0;
  for (std::size_t h = 0; h < harmonics.size(); ++h) {
    const Harmonic& n = harmonics[h];
    sum += static_cast<double>(h + 1) * (n.a * n.d - n.b * n.c);
  }
  return std::numbers::pi * sum;
}

FramedFourier::FramedFourier(const FramedOutline& outline) : outline_(outline), harmonics_{} {
  const std::size_t n = outline.size();
  turn_.resize(n);
  const double share = 2.0 / static_cast<double>(n);
  const Polygon& plain = even_turns(n);
  // First harmonic of x from the plain start; then all harmonics from the shifted start.
  double a1 = 0.0;
  double b1 = 0.0;
  for (std::size_t i = 0; i < n; ++i) {
    a1 += outline.points[i].x() * plain[i].x();
    b1 += outline.points[i].x() * plain[i].y();
  }
  // x is lowest at the shifted start: a1' = -hypot, b1' = 0.
  phase_ = std::atan2(-b1, -a1);
  const double c = std::cos(phase_);
  const double s = std::sin(phase_);
  for (std::size_t i = 0; i < n; ++i) {
    turn_[i] = Point(c * plain[i].x() + s * plain[i].y(), c * plain[i].y() - s * plain[i].x());
  }
  for (std::size_t i = 0; i < n; ++i) {
    const Point& p = outline.points[i];
    const Point& first = turn_[i];
    Point at = first;
    for (std::size_t h = 1; h <= kShapeHarmonics; ++h) {
      Harmonic& out = harmonics_[h];
      out.a += p.x() * at.x();
      out.b += p.x() * at.y();
      out.c += p.y() * at.x();
      out.d += p.y() * at.y();
      at = Point(at.x() * first.x() - at.y() * first.y(), at.x() * first.y() + at.y() * first.x());
    }
  }
  for (Harmonic& h : harmonics_) {
    h = {h.a * share, h.b * share, h.c * share, h.d * share};
  }
  const double half_length = -harmonics_[1].a;
  double squares = 0.0;
  for (std::size_t h = 2; h <= kShapeHarmonics; ++h) {
    squares += harmonics_[h].b * harmonics_[h].b + harmonics_[h].c * harmonics_[h].c;
  }
  // Counter-clockwise from the stem end the dorsal side comes first, hence the minus: the width at
  // t is -d sin.
  shape_.taper = -harmonics_[2].d / half_length;
  shape_.squareness = -harmonics_[3].d / half_length;
  shape_.asymmetry = std::sqrt(squares) / half_length;
}

namespace {

/// Variances of the coefficients b and c of harmonics 2 and up, summed, and their squares summed.
struct CoefficientErrors {
  double variances = 0.0;
  double squares = 0.0;
};

/// Each coefficient is a mean of n errors times a wave, taken in x or in y: on the mean over the
/// directions of a closed edge half of it. A wave of the edge moves x and y together: b and c of a
/// harmonic count as one.
CoefficientErrors coefficient_errors(const EdgeGradient& gradient, std::size_t n) {
  const Polygon& plain = even_turns(n);
  CoefficientErrors errors;
  for (std::size_t h = 2; h <= kShapeHarmonics; ++h) {
    double sum = gradient.covariance(0);
    for (std::size_t k = 1; k < gradient.covariance_reach(); ++k) {
      sum += 2.0 * gradient.covariance(k) * plain[h * k % n].x();
    }
    const double variance = std::max(0.0, sum) / static_cast<double>(n);
    errors.variances += 2.0 * variance;
    errors.squares += 4.0 * variance * variance;
  }
  return errors;
}

}  // namespace

void FramedFourier::add_weighted(EdgeGradient& gradient,
                                 const std::array<Harmonic, kShapeHarmonics + 1>& weights) const {
  const std::size_t n = outline_.size();
  const double share = 2.0 / static_cast<double>(n);
  std::size_t highest = kShapeHarmonics;
  const auto weighs = [](const Harmonic& w) {
    return w.a != 0.0 || w.b != 0.0 || w.c != 0.0 || w.d != 0.0;
  };
  while (highest > 1 && !weighs(weights[highest])) {
    --highest;
  }
  std::vector<double> along(n);
  double weighted = 0.0;
  for (std::size_t i = 0; i < n; ++i) {
    const Point& first = turn_[i];
    Point at = first;
    double gx = 0.0;
    double gy = 0.0;
    for (std::size_t h = 1; h <= highest; ++h) {
      const Harmonic& w = weights[h];
      gx += w.a * at.x() + w.b * at.y();
      gy += w.c * at.x() + w.d * at.y();
      at = Point(at.x() * first.x() - at.y() * first.y(), at.x() * first.y() + at.y() * first.x());
    }
    gx *= share;
    gy *= share;
    gradient.add(i, gx, gy);
    const Point& normal = outline_.normals[i];
    along[i] = -gx * normal.y() + gy * normal.x();
    weighted += along[i] * static_cast<double>(i) / static_cast<double>(n);
  }
  // Where the edge moves outward the line there gets longer, and the evenly spaced points slide.
  if (sides_.empty()) {
    for (std::size_t i = 0; i < n; ++i) {
      sides_.emplace_back((outline_.points[outline_.next(i)] - outline_.points[i]).normalized());
    }
  }
  // From the last point back; the first point's answer to the side before it comes at the end.
  double after = 0.0;
  Point before_next = Point::Zero();
  for (std::size_t i = n; i-- > 0;) {
    const Point pull = (weighted - after) * sides_[i];
    after += along[i];
    if (i + 1 < n) {
      gradient.add(i + 1, pull - before_next);
    } else {
      gradient.add(0, pull);
    }
    before_next = pull;
  }
  gradient.add(0, -before_next);
}

void FramedFourier::add_taper(EdgeGradient& gradient) const {
  std::array<Harmonic, kShapeHarmonics + 1> w{};
  const double half_length = -harmonics_[1].a;
  w[2].d = -1.0 / half_length;
  w[1].a = shape_.taper / half_length;
  // A moved start changes d2 by -2 c2 per radian, and is moved by d(b1) / a1.
  w[1].b = 2.0 * harmonics_[2].c / (half_length * harmonics_[1].a);
  add_weighted(gradient, w);
}

void FramedFourier::add_squareness(EdgeGradient& gradient) const {
  std::array<Harmonic, kShapeHarmonics + 1> w{};
  const double half_length = -harmonics_[1].a;
  w[3].d = -1.0 / half_length;
  w[1].a = shape_.squareness / half_length;
  w[1].b = 3.0 * harmonics_[3].c / (half_length * harmonics_[1].a);
  add_weighted(gradient, w);
}

void FramedFourier::add_asymmetry(EdgeGradient& gradient) const {
  std::array<Harmonic, kShapeHarmonics + 1> w{};
  const double half_length = -harmonics_[1].a;
  const double plain = shape_.asymmetry * half_length;
  CoefficientErrors errors = coefficient_errors(gradient, outline_.size());
  // An axis that turns moves all coefficients at once, the start of the line with it: by this much
  // per radian of the outline turning.
  double square = 0.0;
  double crossed = 0.0;
  const double start = harmonics_[1].d / harmonics_[1].a;
  for (std::size_t h = 2; h <= kShapeHarmonics; ++h) {
    const Harmonic& n = harmonics_[h];
    const double b = -n.d + static_cast<double>(h) * n.a * start;
    const double c = n.a - static_cast<double>(h) * n.d * start;
    square += b * b + c * c;
    crossed += b * n.b + c * n.c;
  }
  if (gradient.turn_sd() > 0.0) {
    gradient.set_turned(gradient.pose()->answer([&](double turn) {
      const double squares = plain * plain - 2.0 * turn * crossed + turn * turn * square;
      return std::sqrt(std::max(0.0, squares) + errors.variances) / half_length;
    }));
  }
  errors.variances += square * gradient.turn_sd() * gradient.turn_sd();
  // The root of a sum of squares that errors of all coefficients lift: near 0 its mean answer
  // fades, and half of what the squares scatter takes its place.
  const double root = std::sqrt(plain * plain + errors.variances);
  if (!(root > 0.0)) {
    return;
  }
  gradient.add_scatter(0.5 * errors.squares / (root * root * half_length * half_length));
  double by_phase = 0.0;
  for (std::size_t h = 2; h <= kShapeHarmonics; ++h) {
    const Harmonic& n = harmonics_[h];
    // There are kShapeHarmonics + 1 of them.
    Harmonic& weight = w[h];  // cppcheck-suppress containerOutOfBounds
    weight.b = n.b / (root * half_length);
    weight.c = n.c / (root * half_length);
    by_phase += static_cast<double>(h) * (weight.c * n.d - weight.b * n.a);
  }
  w[1].a = shape_.asymmetry / half_length;
  w[1].b = by_phase / harmonics_[1].a;
  add_weighted(gradient, w);
}

}  // namespace maturity
