#pragma once

#include <vector>

#include "libmaturity/core/polygon.h"
#include "libmaturity/photo/photo.h"

namespace maturity {

/// An outline on the full photo, to a fraction of a pixel.
struct RefinedOutline {
  /// Upright pixels, evenly spaced.
  Polygon outline_px;
  /// Standard error across the outline after smoothing, px, and its correlation length along it.
  double se_px = 0.0;
  double correlation_px = 0.0;
  /// Share of normals with a clear edge.
  double edge_share = 0.0;
  /// Narrow things that left the outline and were bridged; the likeliest stem first.
  struct Stem {
    Point base_px;
    double reach_px = 0.0;
    double likeness = 1.0;
  };
  std::vector<Stem> stems;
  /// False where corners that no fruit has are left (sharp_corners.h).
  bool whole = true;
  /// Mean width of the edge from 10 to 90 %, px: large when the photo is not sharp.
  double edge_width_px = 0.0;
};

/// Moves a rough outline to the edge within +/- band_px along its normals: along each normal the
/// colour is projected on the direction that best parts inside from outside there (linear light,
/// learned over neighbouring normals, so a shadow edge is told from skin), the line of strongest
/// change is followed with a smoothness cost, each crossing is placed by the centroid of the
/// gradient and then, with its neighbours, by the step that fits best (edge_fit.h); a local
/// quadratic fit along the outline takes the noise off. Stems and their feet are bridged.
RefinedOutline refine_edge(const Photo& photo, const Polygon& rough_px, double band_px);

}  // namespace maturity
