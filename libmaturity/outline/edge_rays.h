#pragma once

#include <Eigen/Core>
#include <cstddef>
#include <vector>

#include "libmaturity/core/polygon.h"
#include "libmaturity/photo/photo.h"

namespace maturity {

/// Linear red, green and blue.
using Light = Eigen::Vector3d;

/// Points of an outline and their outward unit normals.
struct Normals {
  Polygon at;
  Polygon outward;
};

Normals normals_of(const Polygon& outline);

/// Linear colours along every normal: `count` normals of `rows` samples each, `step` px apart, from
/// `half` px inside to `half` px outside.
struct Rays {
  std::size_t count = 0;
  std::size_t rows = 0;
  double step = 0.0;
  double half = 0.0;
  std::vector<Light> light;
  /// The same samples as the file keeps them (linear_light.h): light of the luminance, blue and red
  /// difference.
  std::vector<Light> planes;
};

/// Samples half a pixel apart; farther on a large photo, so that no normal has more than 35: edges
/// there are as many pixels wider.
Rays sample_rays(const Photo& photo, const Normals& normals, double band_px);

/// Which rows of a normal count as inside and outside.
struct RowRange {
  int in_first;
  int in_last;
  int out_first;
  int out_last;
};

/// What parts inside from outside around a normal.
struct Parting {
  Light inside = Light::Zero();
  Light outside = Light::Zero();
  /// Fisher's linear discriminant over the neighbouring normals, scaled so that scatter along it
  /// has unit variance; zero where too little is known.
  Light direction = Light::Zero();
};

/// `noise2` is added to the scatter of each of the three values.
std::vector<Parting> part_sides(const std::vector<Light>& samples,
                                const std::vector<RowRange>& ranges, std::size_t rows,
                                const Light& noise2);

/// The samples on the direction that best parts inside from outside around each normal.
std::vector<double> profiles(const std::vector<Light>& samples, const std::vector<RowRange>& ranges,
                             std::size_t rows, double noise2);

}  // namespace maturity
