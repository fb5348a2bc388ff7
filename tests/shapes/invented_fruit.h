#pragma once

#include <cstddef>
#include <cstdint>
#include <random>

#include "libmaturity/core/polygon.h"

namespace maturity::shapes {

/// Parameters of an invented fruit outline; lengths over the length of the body. Ranges of a
/// random one in brackets: wide, from nearly round to long, with and without each feature.
struct FruitParameters {
  double elongation = 1.35;       ///< [1.05, 1.7]
  double taper = 0.10;            ///< stem end broader than nose end [-0.05, 0.28]
  double shoulder_ventral = 2.2;  ///< exponent of the ventral shoulder's superellipse [1.75, 3.0]
  double shoulder_dorsal = 2.2;   ///< [1.75, 2.8]
  double nose = 2.0;              ///< exponent of the nose end [1.6, 2.6]
  double bow = 0.05;              ///< how far the two ends bend to the ventral side [-0.03, 0.14]
  double slope = 0.03;            ///< ventral shoulder falling away [-0.05, 0.09]
  double hollow = 0.01;           ///< depth at the stem [0, 0.05]
  double hollow_width = 0.11;     ///< [0.07, 0.16]
  double stem_beside = 0.05;  ///< stem's place beside the axis, over the half-width [-0.15, 0.22]
  double beak = 0.02;         ///< height [0, 0.06]
  double beak_width = 0.065;  ///< [0.045, 0.14]
  double beak_place = 0.80;   ///< share of the ventral side from stem end to nose [0.66, 0.95]
  double sinus = 0.01;        ///< depth [0, 0.04]
  double sinus_width = 0.09;  ///< [0.06, 0.16]
  double sinus_gap = 0.16;    ///< arc from beak to sinus [0.12, 0.26]
  double waviness = 0.0;      ///< SD of the slow random waves of the edge [0.0035]
};

struct InventedFruit {
  FruitParameters parameters;
  /// y down, mm, axis along +x before `placed`.
  Polygon outline;
  Point stem = Point::Zero();
  Point nose = Point::Zero();
  Point beak = Point::Zero();
  int ventral_side = +1;
};

FruitParameters random_parameters(std::mt19937_64& random);

/// `length` in mm; the waves are drawn from `random`.
InventedFruit invent_fruit(const FruitParameters& parameters, double length, std::size_t points,
                           std::mt19937_64& random);

/// Hollow, beak, sinus and waves on any body: `base` runs from the stem end (place 0) over the
/// ventral side (y > 0) to the point `nose_tip` and back; `stem_place` is an arc. Of `parameters`
/// only what belongs to these features counts.
InventedFruit add_features(const Polygon& base, std::size_t nose_tip, double stem_place,
                           const FruitParameters& parameters, double length,
                           std::mt19937_64& random);

/// The same fruit turned by `angle`, turned over when `mirror`, moved.
InventedFruit placed(const InventedFruit& fruit, double angle, bool mirror, const Point& shift);

/// Moves every point across the edge by normal errors with that standard deviation, correlated
/// exp(-s^2 / (2 length^2)) along it (an independent way to draw them: waves of random phase).
Polygon with_edge_noise(const Polygon& outline, double sd, double correlation_length,
                        std::mt19937_64& random);

/// `points` points of an ellipse, counter-clockwise with y up, unevenly started.
Polygon ellipse(double a, double b, std::size_t points);

}  // namespace maturity::shapes
