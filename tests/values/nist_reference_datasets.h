#pragma once

// Statistical Reference Datasets of NIST (https://www.itl.nist.gov/div898/strd): data and certified
// values READ in public test files quoting NIST. Norris, Longley and SiRstv recomputed from the
// data with 40 digits; Wampler 3 in exact rationals. The deviations of Wampler 3 are from memory
// and reproduce its certified values.

#include <array>
#include <vector>

namespace maturity::values {

inline const std::vector<double> kNorrisX{
    0.2, 337.4, 118.2, 884.6, 10.1,  226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4,
    0.6, 775.5, 666.9, 338.0, 447.5, 11.6,  556.0, 228.1, 995.8, 887.6, 120.2, 0.3,
    0.3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1,  118.3, 229.2, 669.1, 448.9, 0.5};
inline const std::vector<double> kNorrisY{
    0.1, 338.8, 118.1, 888.0, 9.2,   228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3,
    0.1, 778.1, 668.8, 339.3, 448.9, 10.8,  557.7, 228.3, 998.0, 888.8, 119.6, 0.3,
    0.6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2,  117.6, 228.9, 668.4, 449.2, 0.2};
inline constexpr std::array<double, 2> kNorrisCoefficients{-0.262323073774029, 1.00211681802045};
inline constexpr std::array<double, 2> kNorrisErrors{0.232818234301152, 4.29796848199937e-4};
inline constexpr double kNorrisResidualSd = 0.884796396144373;
inline constexpr double kNorrisRSquared = 0.999993745883712;
inline constexpr double kNorrisF = 5436385.54079785;
inline constexpr double kNorrisModelSquares = 4255954.13232369;
inline constexpr double kNorrisResidualSquares = 26.6173985294224;

/// y, then six predictors.
inline const std::vector<std::array<double, 7>> kLongley{
    {60323, 83.0, 234289, 2356, 1590, 107608, 1947},
    {61122, 88.5, 259426, 2325, 1456, 108632, 1948},
    {60171, 88.2, 258054, 3682, 1616, 109773, 1949},
    {61187, 89.5, 284599, 3351, 1650, 110929, 1950},
    {63221, 96.2, 328975, 2099, 3099, 112075, 1951},
    {63639, 98.1, 346999, 1932, 3594, 113270, 1952},
    {64989, 99.0, 365385, 1870, 3547, 115094, 1953},
    {63761, 100.0, 363112, 3578, 3350, 116219, 1954},
    {66019, 101.2, 397469, 2904, 3048, 117388, 1955},
    {67857, 104.6, 419180, 2822, 2857, 118734, 1956},
    {68169, 108.4, 442769, 2936, 2798, 120445, 1957},
    {66513, 110.8, 444546, 4681, 2637, 121950, 1958},
    {68655, 112.6, 482704, 3813, 2552, 123366, 1959},
    {69564, 114.2, 502601, 3931, 2514, 125368, 1960},
    {69331, 115.7, 518173, 4806, 2572, 127852, 1961},
    {70551, 116.9, 554894, 4007, 2827, 130081, 1962}};
inline constexpr std::array<double, 7> kLongleyCoefficients{
    -3482258.63459582, 15.0618722713733,       -0.358191792925910e-01, -2.02022980381683,
    -1.03322686717359, -0.511041056535807e-01, 1829.15146461355};
inline constexpr std::array<double, 7> kLongleyErrors{
    890420.383607373,  84.9149257747669,  0.334910077722432e-01, 0.488399681651699,
    0.214274163161675, 0.226073200069370, 455.478499142212};
inline constexpr double kLongleyResidualSd = 304.854073561965;
inline constexpr double kLongleyRSquared = 0.995479004577296;
inline constexpr double kLongleyF = 330.285339234588;

/// Deviations of Wampler 3 from 1 + x + ... + x^5 at x = 0..20.
inline const std::vector<double> kWamplerDeviation{759,   -2048, 2048,  -2048, 2523,  -2048, 2048,
                                                   -2048, 1838,  -2048, 2048,  -2048, 1838,  -2048,
                                                   2048,  -2048, 2523,  -2048, 2048,  -2048, 759};
inline constexpr std::array<double, 6> kWampler3Errors{2152.32624678170, 2363.55173469681,
                                                       779.343524331583, 101.475507550350,
                                                       5.64566512170752, 0.112324854679312};
inline constexpr double kWampler3ResidualSd = 2360.14502379268;
inline constexpr double kWampler3RSquared = 0.999995559025820;
inline constexpr double kWampler3F = 675524.458240122;

inline const std::vector<std::vector<double>> kSiRstv{
    {196.3052, 196.1240, 196.1890, 196.2569, 196.3403},
    {196.3042, 196.3825, 196.1669, 196.3257, 196.0422},
    {196.1303, 196.2005, 196.2889, 196.0343, 196.1811},
    {196.2795, 196.1748, 196.1494, 196.1485, 195.9885},
    {196.2119, 196.1051, 196.1850, 196.0052, 196.2090}};
inline constexpr double kSiRstvF = 1.18046237440255;
inline constexpr double kSiRstvRSquared = 0.190999039051129;
inline constexpr double kSiRstvResidualSd = 0.104076068334656;
/// COMPUTED by two routes (exact rationals; lme4).
inline constexpr double kSiRstvBetweenSquares = 0.0511462616;
inline constexpr double kSiRstvWithinSquares = 0.21663656;
inline constexpr double kSiRstvBetweenVariance = 0.00039094748;
inline constexpr double kSiRstvIntraclass = 0.03483518678;

}  // namespace maturity::values
