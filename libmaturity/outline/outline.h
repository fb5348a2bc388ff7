#pragma once

#include <algorithm>
#include <optional>
#include <vector>

#include "libmaturity/core/flags.h"
#include "libmaturity/core/polygon.h"

namespace maturity {

/// One fruit's silhouette as found on a photo, stem left out. Upright pixels, counter-clockwise on
/// screen, evenly spaced points.
struct FruitOutline {
  Polygon outline_px;
  /// Standard error of a point across the outline, px, and the arc length over which neighbouring
  /// errors go together, px.
  double se_px = 0.0;
  double correlation_px = 0.0;
  /// Where a stem or stub leaves the body, if one was seen, and the chance that it is one.
  std::optional<Point> stem_base_px;
  double stem_probability = 0.0;
  /// Share of the outline with a clear edge, 0..1.
  double edge_share = 0.0;
  /// Mean skin colour as log ratios: see ColourField.
  double yellow = 0.0;
  double green = 0.0;
  std::vector<FruitFlag> flags;

  bool has(FruitFlag flag) const {
    return std::find(flags.begin(), flags.end(), flag) != flags.end();
  }
  /// Adds a flag once.
  void add(FruitFlag flag) {
    if (!has(flag)) {
      flags.push_back(flag);
    }
  }
};

}  // namespace maturity
