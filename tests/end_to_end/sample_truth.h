#pragma once

#include <map>
#include <string>
#include <vector>

#include "libmaturity/core/polygon.h"
#include "libmaturity/pipeline/measurement.h"

namespace maturity::sample {

struct TrueFruit {
  int number = 0;
  Polygon silhouette_px;
  /// Widest section: stem at (0, 0), +x to the nose, +y to the ventral side.
  Polygon section_mm;
  double length_mm = 0.0;
  double width_mm = 0.0;
  Point stem_px = Point::Zero();
  Point nose_px = Point::Zero();
  int ventral_side = 0;
  /// What the fruit was made with: "beak_prominence", "end_balance" and so on.
  std::map<std::string, double> traits;
  double fraction_in_frame = 1.0;
  double occluded_fraction = 0.0;
  bool touching = false;

  /// Seen whole: nothing hides it and the photo ends outside it.
  bool whole() const { return fraction_in_frame >= 1.0 && occluded_fraction < 0.02; }
};

struct TruePhoto {
  std::string path;  // below sample-images/season/photos
  std::string light;
  std::string problem;  // empty when there is none
  bool number_tiles = false;
  double mm_per_px = 0.0;
  double tilt_deg = 0.0;
  double camera_height_mm = 0.0;
  std::vector<TrueFruit> fruits;

  std::string file() const;
};

/// Truth of every sample photo, by name.
std::vector<TruePhoto> all_photos();

/// The measured fruit that covers the true one, or nullptr.
const FruitMeasurement* find(const PhotoMeasurement& photo, const TrueFruit& fruit);

}  // namespace maturity::sample
