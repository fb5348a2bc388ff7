#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace maturity::plain {

/// Upright pixels: x right, y down, (0,0) the centre of the top-left pixel.
struct Point {
  double x = 0.0;
  double y = 0.0;
};

/// One fruit of a photo; what is not known is empty. Flags are names, see docs/flags.md.
struct Fruit {
  int fruit = 0;
  bool numbered_by_tile = false;
  bool usable = false;
  std::vector<Point> outline_px;
  std::optional<double> length_mm;
  std::optional<double> length_se_mm;
  std::optional<double> width_mm;
  std::optional<double> width_se_mm;
  std::vector<std::string> flags;
  std::map<std::string, double> descriptors;
  std::map<std::string, double> descriptor_se;
};

/// What was measured on one photo, or why nothing was.
struct Photo {
  std::string path;
  std::string sha256;
  std::optional<std::string> error;
  std::optional<std::string> taken_at;
  std::optional<std::string> code_text;
  std::optional<double> mm_per_px;
  std::optional<double> mm_per_px_se;
  std::vector<std::string> flags;
  std::vector<Fruit> fruits;
};

struct Limits {
  double max_megapixels = 120.0;
  double max_seconds = 60.0;
  /// Photos at the same time; 0: one for each core.
  int threads = 0;
};

/// Measures photos on the sample board, results in the order of the paths. A bad photo has its
/// `error` set and costs no other its result. Throws std::invalid_argument for limits below 0.
std::vector<Photo> measure_photos(const std::vector<std::string>& paths, const Limits& limits = {});

}  // namespace maturity::plain
