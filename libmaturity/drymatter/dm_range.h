#pragma once

namespace maturity {

/// Dry matter that a fruit can have, % of fresh weight; outside it a figure is a slip of the pen.
/// Common practice, no source.
inline constexpr double kLowestDmPct = 3.0;
inline constexpr double kHighestDmPct = 40.0;

}  // namespace maturity
