#pragma once

#include <cstdint>
#include <functional>
#include <map>
#include <string>
#include <vector>

#include "libmaturity/pipeline/measurement.h"

namespace maturity {

/// Limits and known facts for measuring photos. The defaults fit a phone photo of the sample board.
struct MeasureSettings {
  /// A photo whose header claims more is refused before it is decoded.
  double max_megapixels = 120.0;
  /// A photo that takes longer is given up, between two steps of measuring. Ten to a hundred times
  /// what a phone photo takes: it is for files made to keep a machine busy.
  double max_seconds = 60.0;
  /// Sides and diagonals of the marker rectangle as measured with a tape, mm; the defaults are the
  /// printed sheet's.
  double marker_width_mm = 40.0;
  double markers_across_mm = 400.0;
  double markers_down_mm = 300.0;
  /// Thickness over width of the fruit and its spread between fruit (common practice for mango, no
  /// source): the photo cannot show the thickness.
  double thickness_ratio = 0.82;
  double thickness_ratio_sd = 0.04;
  /// How full the flanks are: exponent of the cross-section, 2 for an ellipse. Mango are a little
  /// fuller (the value that leaves no trend of width with place on the board in rendered fruit of
  /// two makers; no published source).
  double flank_exponent = 2.2;
  /// Known thickness in mm by fruit number; it replaces the ratio.
  std::map<int, double> thickness_mm;
  /// Threads for a batch; 0: one per core.
  int threads = 0;
};

/// Text that changes whenever a setting that changes the numbers changes. Part of the store's key.
std::string settings_key(const MeasureSettings& settings);

/// Measures one photo file. Never throws for a bad photo: `error` says what is wrong with it.
/// Throws std::invalid_argument for settings out of range.
PhotoMeasurement measure_photo(const std::string& path, const MeasureSettings& settings = {});

/// The same for a photo already in memory (a file's bytes); `path` is only a label.
PhotoMeasurement measure_photo_bytes(const std::vector<std::uint8_t>& bytes,
                                     const std::string& path, const MeasureSettings& settings = {});

/// The same with a buffer for the decoded photo that a worker keeps from one photo to the next:
/// fresh memory for 12 megapixels costs as much as finding the markers.
PhotoMeasurement measure_photo(const std::string& path, const MeasureSettings& settings,
                               std::vector<std::uint8_t>& buffer);
PhotoMeasurement measure_photo_bytes(const std::vector<std::uint8_t>& bytes,
                                     const std::string& path, const MeasureSettings& settings,
                                     std::vector<std::uint8_t>& buffer);

/// Called after each finished photo, from one thread at a time, in any order: index into paths and
/// the result. Return false to stop the batch; photos not begun stay empty with an error text.
using PhotoDone = std::function<bool(std::size_t index, const PhotoMeasurement& photo)>;

/// Hands each finished photo on and forgets it: memory does not grow with the number of photos. A
/// batch that is stopped leaves the rest untouched. Threads, order and OpenCV as measure_photos.
using PhotoTaken = std::function<bool(std::size_t index, PhotoMeasurement&& photo)>;
void measure_each_photo(const std::vector<std::string>& paths, const MeasureSettings& settings,
                        const PhotoTaken& taken);

/// Many photos, one per worker, results in the order of the paths and the same for every number of
/// threads. Other threads' use of OpenCV is not disturbed beyond its thread setting, which is put
/// back.
std::vector<PhotoMeasurement> measure_photos(const std::vector<std::string>& paths,
                                             const MeasureSettings& settings = {},
                                             const PhotoDone& done = {});

/// JSON text of the results: {"version": ..., "photos": {path: {...}}}; numbers with all digits
/// that count, unknown as null.
std::string to_json(const std::vector<PhotoMeasurement>& photos, bool pretty = false);

}  // namespace maturity
