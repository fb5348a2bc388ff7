#pragma once

#include <Eigen/Core>
#include <cstdint>
#include <vector>

#include "libmaturity/core/polygon.h"
#include "libmaturity/photo/colour_field.h"
#include "libmaturity/photo/time_limit.h"

namespace maturity {

/// A blob that may be a fruit, on the small colour field.
struct Candidate {
  /// Rough outline, field pixels.
  Polygon outline;
  Point centre = Point::Zero();
  /// Second central moments over area, field pixels squared.
  Eigen::Matrix2d spread = Eigen::Matrix2d::Identity();
  double area = 0.0;
  /// Area over that of the ellipse of equal moments; 1 for an ellipse.
  double ellipticity = 0.0;
  double score = 0.0;
  bool cut_by_frame = false;
  /// Number of the cut that parted it from a neighbour, -1 for none, and the length of that cut
  /// over the square root of the smaller part's area.
  int cut = -1;
  double neck = 0.0;
};

/// Least and largest area of a fruit on the field, pixels.
struct AreaRange {
  double least = 0.0;
  double most = 0.0;
};

/// Smooth, roundish blobs that stand out from what is around them in yellowness, redness, greenness
/// or light: components of every channel at many levels, each scored by how elliptic it is and by
/// the weakest quarter of the edge around it; of overlapping ones the best stays.
/// `time` is asked at every level of every channel; throws PhotoTimeUp.
std::vector<Candidate> find_candidates(const ColourField& field, const AreaRange& range,
                                       const TimeLimit& time);

}  // namespace maturity
