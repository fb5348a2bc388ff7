#pragma once

#include <array>

namespace maturity {

/// Middles of 16 equally likely parts of a normal distribution, scaled to a variance of 1: what a
/// normal error makes of a value that is not straight, without random draws.
inline constexpr std::array<double, 16> kNormalParts = {
    -1.938159, -1.371381, -1.050887, -0.807861, -0.602583, -0.418538, -0.246807, -0.081588,
    0.081588,  0.246807,  0.418538,  0.602583,  0.807861,  1.050887,  1.371381,  1.938159};

}  // namespace maturity
