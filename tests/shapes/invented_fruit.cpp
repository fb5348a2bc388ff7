#include "tests/shapes/invented_fruit.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "tests/shapes/edge_waves.h"

namespace maturity::shapes {

namespace {

constexpr double kTurn = 2.0 * std::numbers::pi;

double uniform(std::mt19937_64& random, double low, double high) {
  return std::uniform_real_distribution<double>(low, high)(random);
}

double signed_power(double x, double power) {
  return std::copysign(std::pow(std::abs(x), power), x);
}

std::vector<double> arc_lengths(const Polygon& p) {
  std::vector<double> arcs(p.size() + 1, 0.0);
  for (std::size_t i = 0; i < p.size(); ++i) {
    arcs[i + 1] = arcs[i] + (p[(i + 1) % p.size()] - p[i]).norm();
  }
  return arcs;
}

Polygon outward_normals(const Polygon& p) {
  const double sign = signed_area(p) > 0.0 ? 1.0 : -1.0;
  Polygon normals(p.size());
  for (std::size_t i = 0; i < p.size(); ++i) {
    const Point chord = p[(i + 1) % p.size()] - p[(i + p.size() - 1) % p.size()];
    normals[i] = sign * Point(chord.y(), -chord.x()).normalized();
  }
  return normals;
}

/// Body without features: t = 0 at the stem end, over the ventral side (y > 0) to the nose.
Polygon body(const FruitParameters& f, std::size_t points) {
  const double a = 0.5;
  const double b = 0.5 / f.elongation;
  Polygon p(points);
  for (std::size_t i = 0; i < points; ++i) {
    const double t = kTurn * static_cast<double>(i) / static_cast<double>(points);
    const double c = std::cos(t);
    const double s = std::sin(t);
    const double towards_nose = 0.5 * (1.0 - c);
    const double shoulder = s >= 0.0 ? f.shoulder_ventral : f.shoulder_dorsal;
    const double exponent = shoulder * (1.0 - towards_nose) + f.nose * towards_nose;
    double x = -a * signed_power(c, 2.0 / exponent);
    double y = b * signed_power(s, 2.0 / exponent);
    y *= 1.0 - f.taper * x / a;
    y += f.bow * b * ((x / a) * (x / a) - 0.4);
    const double proximal = std::max(0.0, -x / a);
    x += 0.5 * f.slope * a * proximal * proximal * y / b;
    p[i] = Point(x, y);
  }
  return p;
}

}  // namespace

FruitParameters random_parameters(std::mt19937_64& random) {
  FruitParameters f;
  f.elongation = uniform(random, 1.05, 1.7);
  f.taper = uniform(random, -0.05, 0.28);
  f.shoulder_ventral = uniform(random, 1.75, 3.0);
  f.shoulder_dorsal = uniform(random, 1.75, 2.8);
  f.nose = uniform(random, 1.6, 2.6);
  f.bow = uniform(random, -0.03, 0.14);
  f.slope = uniform(random, -0.05, 0.09);
  f.hollow = std::max(0.0, uniform(random, -0.04, 0.05));
  f.hollow_width = uniform(random, 0.07, 0.16);
  f.stem_beside = uniform(random, -0.15, 0.22);
  f.beak = std::max(0.0, uniform(random, -0.01, 0.06));
  f.beak_width = uniform(random, 0.045, 0.14);
  f.beak_place = uniform(random, 0.66, 0.95);
  f.sinus = std::max(0.0, uniform(random, -0.03, 0.04));
  f.sinus_width = uniform(random, 0.06, 0.16);
  f.sinus_gap = uniform(random, 0.12, 0.26);
  f.waviness = 0.0035;
  return f;
}

InventedFruit add_features(const Polygon& base, std::size_t nose_tip, double stem_place,
                           const FruitParameters& parameters, double length,
                           std::mt19937_64& random) {
  InventedFruit fruit;
  fruit.parameters = parameters;
  const FruitParameters& f = fruit.parameters;
  const std::size_t points = base.size();
  const std::vector<double> arcs = arc_lengths(base);
  const Polygon normals = outward_normals(base);
  const double whole = arcs.back();
  const double ventral = arcs[nose_tip];
  const auto away = [&](std::size_t i, double place) {
    return std::remainder(arcs[i] - place, whole);
  };
  const auto bump = [&](std::size_t i, double place, double width) {
    return std::exp(-0.5 * std::pow(away(i, place) / width, 2));
  };
  const double beak_place = ventral * f.beak_place;
  std::vector<double> heights;
  std::vector<double> phases;
  for (int wave = 3; wave < 9; ++wave) {
    heights.push_back(f.waviness / wave * std::normal_distribution<double>()(random));
    phases.push_back(uniform(random, 0.0, kTurn));
  }
  std::size_t stem = 0;
  std::size_t beak = 0;
  fruit.outline.resize(points);
  for (std::size_t i = 0; i < points; ++i) {
    double out = -f.hollow * bump(i, stem_place, f.hollow_width) +
                 f.beak * bump(i, beak_place, f.beak_width) -
                 f.sinus * bump(i, beak_place - f.sinus_gap, f.sinus_width);
    for (std::size_t w = 0; w < heights.size(); ++w) {
      out +=
          heights[w] * std::cos(static_cast<double>(w + 3) * kTurn * arcs[i] / whole + phases[w]);
    }
    fruit.outline[i] = length * (base[i] + out * normals[i]);
    if (std::abs(away(i, stem_place)) < std::abs(away(stem, stem_place))) {
      stem = i;
    }
    if (std::abs(away(i, beak_place)) < std::abs(away(beak, beak_place))) {
      beak = i;
    }
  }
  fruit.stem = fruit.outline[stem];
  fruit.beak = fruit.outline[beak];
  fruit.nose = *std::max_element(fruit.outline.begin(), fruit.outline.end(),
                                 [&](const Point& p, const Point& q) {
                                   return (p - fruit.stem).norm() < (q - fruit.stem).norm();
                                 });
  fruit.ventral_side = +1;
  return fruit;
}

InventedFruit invent_fruit(const FruitParameters& parameters, double length, std::size_t points,
                           std::mt19937_64& random) {
  const double stem_place = parameters.stem_beside * 0.5 / parameters.elongation;
  return add_features(body(parameters, points), points / 2, stem_place, parameters, length, random);
}

InventedFruit placed(const InventedFruit& fruit, double angle, bool mirror, const Point& shift) {
  const auto move = [&](const Point& p) {
    const Point q(p.x(), mirror ? -p.y() : p.y());
    return Point(std::cos(angle) * q.x() - std::sin(angle) * q.y() + shift.x(),
                 std::sin(angle) * q.x() + std::cos(angle) * q.y() + shift.y());
  };
  InventedFruit moved = fruit;
  for (Point& p : moved.outline) {
    p = move(p);
  }
  moved.stem = move(fruit.stem);
  moved.nose = move(fruit.nose);
  moved.beak = move(fruit.beak);
  moved.ventral_side = mirror ? -fruit.ventral_side : fruit.ventral_side;
  return moved;
}

EdgeWaves::EdgeWaves(const Polygon& outline, double correlation_length)
    : outline_(outline), normals_(outward_normals(outline)) {
  // A closed line of length T carries the waves 2 pi k / T.
  const std::vector<double> arcs = arc_lengths(outline);
  const double whole = arcs.back();
  const double widest = 4.5 / correlation_length;
  for (int k = 0; kTurn * k / whole < widest; ++k) {
    const double wave = kTurn * k / whole;
    Wave one;
    one.root_power = std::sqrt((k == 0 ? 1.0 : 2.0) * correlation_length * std::sqrt(kTurn) /
                               whole * std::exp(-0.5 * std::pow(wave * correlation_length, 2)));
    for (std::size_t i = 0; i < outline.size(); ++i) {
      one.cosine.push_back(std::cos(wave * arcs[i]));
      if (k > 0) {
        one.sine.push_back(std::sin(wave * arcs[i]));
      }
    }
    waves_.push_back(std::move(one));
  }
}

Polygon EdgeWaves::draw(double sd, std::mt19937_64& random) const {
  std::normal_distribution<double> normal;
  std::vector<double> noise(outline_.size(), 0.0);
  for (const Wave& wave : waves_) {
    const double c = normal(random) * wave.root_power;
    for (std::size_t i = 0; i < noise.size(); ++i) {
      noise[i] += c * wave.cosine[i];
    }
    if (wave.sine.empty()) {
      continue;
    }
    const double s = normal(random) * wave.root_power;
    for (std::size_t i = 0; i < noise.size(); ++i) {
      noise[i] += s * wave.sine[i];
    }
  }
  Polygon noisy = outline_;
  for (std::size_t i = 0; i < noise.size(); ++i) {
    noisy[i] += sd * noise[i] * normals_[i];
  }
  return noisy;
}

Polygon with_edge_noise(const Polygon& outline, double sd, double correlation_length,
                        std::mt19937_64& random) {
  return EdgeWaves(outline, correlation_length).draw(sd, random);
}

Polygon ellipse(double a, double b, std::size_t points) {
  Polygon p;
  for (std::size_t i = 0; i < points; ++i) {
    const double t = kTurn * (static_cast<double>(i) + 0.3) / static_cast<double>(points);
    p.emplace_back(a * std::cos(t), b * std::sin(t));
  }
  return p;
}

}  // namespace maturity::shapes
