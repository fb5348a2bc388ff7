#pragma once

// Acceptance sampling. Probabilities COMPUTED by two routes (exact rationals; R pbinom, phyper);
// code letters and plans READ in copies of the MIL-STD-105E / ANSI/ASQ Z1.4 / ISO 2859-1 tables.

#include <array>
#include <vector>

namespace maturity::values {

inline constexpr std::array<double, 6> kAcceptanceShares{0.025, 0.05, 0.065, 0.10, 0.15, 0.20};
struct AcceptanceRow {
  int n;
  int accept;
  std::array<double, 6> probability;
};
inline const std::vector<AcceptanceRow> kAcceptance{
    {13, 2, {0.9962978, 0.9754922, 0.9519633, 0.8661172, 0.6919643, 0.5016522}},
    {20, 3, {0.9986272, 0.9840985, 0.962609, 0.8670467, 0.6477252, 0.4114489}},
    {32, 5, {0.9998736, 0.9954003, 0.9842038, 0.9056013, 0.6543678, 0.360191}},
    {50, 7, {0.9999679, 0.9968117, 0.9852872, 0.8778549, 0.5187521, 0.1904098}},
    {80, 10, {0.9999949, 0.9979009, 0.9856723, 0.8266156, 0.3299614, 0.0564609}},
    {125, 14, {0.9999994, 0.9984916, 0.9840141, 0.7329886, 0.1422492, 0.006609737}}};
/// 13 drawn from 100 of which 10 are bad, 2 allowed.
inline constexpr double kFiniteLot = 0.879619578;

}  // namespace maturity::values
