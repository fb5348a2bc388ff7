#pragma once

#include <cstddef>
#include <vector>

#include "libmaturity/core/polygon.h"
#include "libmaturity/photo/photo.h"

namespace maturity {

/// Something narrow that leaves the outline: a stem, a stub, a speck of dirt.
struct Stub {
  /// First and last point of the outline it covers (the run may pass the end of the list).
  std::size_t first = 0;
  std::size_t length = 0;
  /// How far out it can be followed, px.
  double reach_px = 0.0;
  /// How much its look speaks for a stem, 0..1: thin dark lines (seams of a plank, cracks) and
  /// bright gaps between shadows are seldom stems.
  double likeness = 1.0;
};

/// Stubs along an outline: places where a few neighbouring points see another colour just outside
/// than the median of their wider neighbourhood, so an edge of a shadow or a stain, which changes
/// the colour for good, is none. `outward`: unit normals; `unit_px`: about 3 mm on the fruit.
std::vector<Stub> find_stubs(const Photo& photo, const Polygon& outline, const Polygon& outward,
                             double unit_px);

/// Feet of stems that lie within an outline: a short run that stands out of the curve which the
/// outline beyond points to, and just inside of which the photo is much darker than beside it. A
/// stem trimmed to a millimetre or two leaves no more. Limits: of 360 rendered fruit (the sample
/// season, photographed pairs, fruit with traits independent of each other) some 80 have such a
/// run where the stem is; elsewhere one has.
std::vector<Stub> find_stem_feet(const Photo& photo, const Polygon& outline, const Polygon& outward,
                                 double unit_px);

/// Narrow spikes of the outline itself: two hollow corners close to each other with something that
/// stands out between them, as where a stem of the colour of the skin was followed. A beak has such
/// a corner on one side only, a stem cavity has its corners the other way round.
std::vector<Stub> find_spikes(const Polygon& outline);

/// Replaces the points of a stub, and `margin` points on both sides of it, by the curve that the
/// outline beyond points to.
void bridge(Polygon& outline, const Stub& stub, std::size_t margin);
/// The same with a margin that suits a stem.
void bridge(Polygon& outline, const Stub& stub);

}  // namespace maturity
