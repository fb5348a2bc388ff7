#pragma once

#include <Eigen/Core>
#include <span>

#include "libmaturity/photo/photo.h"

namespace maturity {

/// Linear light 0..1 of a gamma-coded value 0..255 (sRGB curve, IEC 61966-2-1, from memory). Pixels
/// average light, not codes: an edge summed on codes can be 0.2 px off.
double linear_light(double code);

/// The code of linear light, its inverse to within 1e-4 of a code; light beyond 0..1 is taken as
/// its end.
double gamma_code(double light);

/// Linear light of the luminance at an upright position, interpolated between pixels in light:
/// interpolated in codes, a sharp edge moves up to 0.11 px towards its bright side.
double sample_light(const Photo& photo, const Point& upright);

/// Linear red, green and blue at an upright position (JFIF matrix, ITU-T T.871, from memory),
/// interpolated between luminance pixels in light. The colour planes are smooth: they are read
/// once.
Eigen::Vector3d sample_linear_rgb(const Photo& photo, const Point& upright);

/// The same at `colours.size()` positions from `upright` on, `step` apart, to within a sixteenth of
/// a code: a fruit's edge asks for some 50,000. `planes`, as many: what the file keeps apart, the
/// light of the luminance alone (as sample_light), blue and red difference over 255.
void sample_linear_rgb(const Photo& photo, const Point& upright, const Point& step,
                       std::span<Eigen::Vector3d> colours, std::span<Eigen::Vector3d> planes);

/// Linear red, green and blue of such planes, and back. A mixture of two lights is a straight line
/// in the first, not in the second.
Eigen::Vector3d rgb_of_planes(const Eigen::Vector3d& planes);
Eigen::Vector3d planes_of_rgb(const Eigen::Vector3d& rgb);

}  // namespace maturity
