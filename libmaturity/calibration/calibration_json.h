#pragma once

#include <string>
#include <string_view>

#include "libmaturity/calibration/shape_calibration.h"

namespace maturity {

/// Version of the file format; a file of a later one is refused, one of format 1 (without the
/// baselines of blocks) or 2 (without ranges for other blocks and seasons) is read, and written as
/// such again.
inline constexpr int kCalibrationFormat = 3;

/// JSON text of a calibration; numbers survive the round trip to the last bit, unknown is null.
std::string calibration_to_json(const ShapeCalibration& calibration);

/// Reads it back. Throws std::invalid_argument naming the field for text that is no JSON, a missing
/// or ill-typed field, another format, sizes that disagree, a covariance that is not symmetric, or
/// content that does not match its id (changed by hand).
ShapeCalibration calibration_from_json(std::string_view text);

/// 16 hex digits over the content without its id (FNV-1a, 64 bits): tells calibrations apart, no
/// protection against intent.
std::string calibration_hash(const ShapeCalibration& calibration);

}  // namespace maturity
