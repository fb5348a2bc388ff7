#pragma once

// One-sided normal tolerance factors, COMPUTED by two routes (noncentral t quantile; integral of
// the normal distribution over the chi density); 95/95 at 10, 20, 30 match printed 2.911, 2.396,
// 2.220 (tables of the ISO 16269-6 type, from memory). Approximation at n = 43: NIST/SEMATECH
// e-Handbook 7.2.6.3, 1.8752 READ in a worksheet citing it.

#include <array>
#include <vector>

namespace maturity::values {

struct ToleranceRow {
  int n;
  /// share/confidence: .90/.95, .95/.95, .90/.99, .90/.90, .80/.90
  std::array<double, 5> factor;
};
inline constexpr std::array<std::array<double, 2>, 5> kToleranceCases{
    {{0.90, 0.95}, {0.95, 0.95}, {0.90, 0.99}, {0.90, 0.90}, {0.80, 0.90}}};

inline const std::vector<ToleranceRow> kToleranceFactors{
    {5, {3.40663, 4.20268, 5.36172, 2.74235, 1.97613}},
    {10, {2.35464, 2.91096, 3.04791, 2.06567, 1.47430}},
    {15, {2.06837, 2.56600, 2.52148, 1.86684, 1.32067}},
    {20, {1.92599, 2.39600, 2.27565, 1.76521, 1.24063}},
    {25, {1.83810, 2.29167, 2.12901, 1.70152, 1.18990}},
    {30, {1.77733, 2.21984, 2.02983, 1.65706, 1.15420}},
    {43, {1.67955, 2.10481, 1.87395, 1.58480, 1.09563}},
    {50, {1.64556, 2.06499, 1.82080, 1.55947, 1.07494}},
    {100, {1.52675, 1.92654, 1.63898, 1.47006, 1.00118}}};
inline constexpr double kApproximateFactor43 = 1.87518958;

}  // namespace maturity::values
