#pragma once

// Degree-days with lower 12 and upper 32 degrees C, COMPUTED by two routes (closed form; adaptive
// integration split at the crossings; the two means and the clamp rules by hand arithmetic).

#include <vector>

namespace maturity::values {

struct HeatRow {
  double tmin;
  double tmax;
  double simple;
  double clamped;
  double reflected;
  double triangle;
  double sine_horizontal;
  double sine_intermediate;
  double sine_vertical;
};

inline const std::vector<HeatRow> kHeatRows{
    {18, 30, 12, 12, 12, 12, 12, 12, 12},
    {8, 26, 5, 7, 5, 5.4444444, 5.819484979, 5.819484979, 5.819484979},
    {20, 36, 16, 14, 12, 15.5, 15.12801775, 14.256036, 8.4613511},
    {8, 36, 10, 10, 6, 10, 10, 9.3487299, 5.0649657},
    {24, 40, 20, 16, 12, 18, 17.45352091, 14.907042, 7.4535209},
    {33, 38, 23.5, 20, 17.5, 20, 20, 16.5, 0},
    {5, 11, 0, 0, 0, 0, 0, 0, 0}};

}  // namespace maturity::values
