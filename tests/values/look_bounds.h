#pragma once

// Bounds of a one-sided error of 0.025 at five equal steps, spending function of O'Brien-Fleming
// type (Lan and DeMets 1983; printed with the programs of Reboussin, DeMets, Kim and Lan 2000,
// Controlled Clinical Trials 21:190): from memory.

#include <array>

namespace maturity::values {

inline constexpr std::array<double, 5> kFiveLookBounds{4.8769, 3.3569, 2.6803, 2.2898, 2.0310};

}  // namespace maturity::values
