#pragma once

// Dyestuff yields (Davies and Goldsmith, "Statistical Methods in Research and Production"): data
// and lme4 REML fit READ in a public test file; further digits COMPUTED by two routes (exact
// rationals; R aov and lme4).

#include <array>
#include <vector>

namespace maturity::values {

inline const std::vector<std::vector<double>> kDyestuff{
    {1545, 1440, 1440, 1520, 1580}, {1540, 1555, 1490, 1560, 1495}, {1595, 1550, 1605, 1510, 1560},
    {1445, 1440, 1595, 1465, 1545}, {1595, 1630, 1515, 1635, 1625}, {1520, 1455, 1450, 1480, 1445}};
inline constexpr double kDyestuffMean = 1527.5;
inline constexpr double kDyestuffBetweenVariance = 1764.05;
inline constexpr double kDyestuffWithinVariance = 2451.25;
inline constexpr double kDyestuffBetweenMeanSquare = 11271.5;
inline constexpr double kDyestuffIntraclass = 0.418487415;
inline constexpr double kDyestuffClusteredSe = 19.3834122;
inline constexpr double kDyestuffNaiveSe = 11.5064949;
inline constexpr double kDyestuffDesignEffect = 2.6739497;
inline constexpr std::array<double, 6> kDyestuffEffects{-17.606851, 0.39126336, 28.562226,
                                                        -23.084538, 56.733188,  -44.995287};

}  // namespace maturity::values
