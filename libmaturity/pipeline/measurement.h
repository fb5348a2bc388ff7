#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "libmaturity/core/flags.h"
#include "libmaturity/core/polygon.h"

namespace maturity {

/// One fruit of a photo. Pixels: upright image, x right, y down, (0,0) the centre of the top-left
/// pixel. Anything not known is empty, never 0.
struct FruitMeasurement {
  /// Number on its tile; without tiles on the photo the place in reading order, from 1; beside
  /// tiles a number above them all.
  int fruit = 0;
  /// True when the number was read from a tile lying at the fruit.
  bool numbered_by_tile = false;
  /// Silhouette of the body without the stem, counter-clockwise on screen, px.
  Polygon outline_px;
  /// Standard error of the outline across its own direction, px.
  double outline_se_px = 0.0;
  /// Widest section of the fitted solid, mm, board frame (y away from marker row 3-2); empty
  /// without a scale.
  Polygon outline_mm;
  std::optional<Point> stem_px;
  std::optional<Point> nose_px;
  int ventral_side = 0;
  double axis_probability = 0.5;
  double side_probability = 0.5;
  std::optional<double> length_mm;
  std::optional<double> length_se_mm;
  std::optional<double> width_mm;
  std::optional<double> width_se_mm;
  std::optional<double> mass_g_estimate;
  std::optional<double> mass_se_g;
  std::vector<FruitFlag> flags;
  /// False where the shape must not be scored.
  bool usable = false;
  /// By descriptor name; a descriptor that is not defined here is absent.
  std::map<std::string, double> descriptors;
  /// Edge noise and what changes from photo to photo (shot_error.h) together.
  std::map<std::string, double> descriptor_se;
};

/// All that was measured on one photo, or why nothing was.
struct PhotoMeasurement {
  /// As given by the caller.
  std::string path;
  std::string sha256;
  int width_px = 0;
  int height_px = 0;
  /// Text of the photo's date and time, ISO 8601, from EXIF.
  std::optional<std::string> taken_at;
  /// Set when the photo could not be read whole: then there are no fruit.
  std::optional<std::string> error;
  /// True where the error is not the photo's own (time, memory, a limit of the caller, a file that
  /// could not be reached): another run may succeed, so it is not kept. Not part of the JSON
  /// results.
  bool error_may_pass = false;
  std::vector<PhotoFlag> flags;
  /// Of the board surface at the image centre.
  std::optional<double> mm_per_px;
  std::optional<double> mm_per_px_se;
  std::optional<double> tilt_deg;
  std::optional<double> camera_height_mm;
  /// Text of a square code beside the fruit (block/tree or block/tree/date).
  std::optional<std::string> code_text;
  double seconds = 0.0;
  std::vector<FruitMeasurement> fruits;
};

}  // namespace maturity
