#pragma once

// Intervals for a share. Sources: NIST/SEMATECH e-Handbook 7.2.4.1 (example 4 of 20 READ),
// influentialpoints.com citing Conover 1999 (5 of 25: 0.068, 0.407 READ), Newcombe 1998 Stat. Med.
// 17:857 (81/263, 15/148, 0/20, 1/29 from memory). Digits COMPUTED by two routes (closed form;
// bisection on binomial tails and on the score equation).

#include <vector>

namespace maturity::values {

struct ProportionCase {
  int count;
  int n;
  double level;
  double exact_low;
  double exact_high;
  double wilson_low;
  double wilson_high;
};

inline const std::vector<ProportionCase> kProportions{
    {4, 20, 0.90, 0.0713538843, 0.401028117, 0.0931180166, 0.378376686},
    {5, 25, 0.95, 0.068311464, 0.407037432, 0.0886058469, 0.391309504},
    {81, 263, 0.95, 0.252736746, 0.367621923, 0.25528852, 0.366209577},
    {15, 148, 0.95, 0.0578440101, 0.16165049, 0.0623863995, 0.160487242},
    {0, 20, 0.95, 0.0, 0.168433471, 0.0, 0.161125158},
    {1, 29, 0.95, 0.000872646884, 0.177644295, 0.00611321429, 0.171755219},
    {3, 50, 0.95, 0.0125485878, 0.165481947, 0.0206149703, 0.162170917},
    {10, 100, 0.95, 0.0490046892, 0.176222598, 0.0552291371, 0.174365662}};

}  // namespace maturity::values
