#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numeric>
#include <vector>

namespace maturity {

inline std::vector<double> ranks(const std::vector<double>& x) {
  std::vector<std::size_t> order(x.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return x[a] < x[b]; });
  std::vector<double> rank(x.size());
  for (std::size_t i = 0; i < order.size();) {
    std::size_t j = i + 1;
    while (j < order.size() && x[order[j]] == x[order[i]]) {
      ++j;
    }
    for (std::size_t k = i; k < j; ++k) {
      rank[order[k]] = 0.5 * static_cast<double>(i + j - 1);
    }
    i = j;
  }
  return rank;
}

/// Spearman's rank correlation, ties by mean rank.
inline double rank_correlation(const std::vector<double>& a, const std::vector<double>& b) {
  const std::vector<double> x = ranks(a);
  const std::vector<double> y = ranks(b);
  const double mean = 0.5 * static_cast<double>(x.size() - 1);
  double xy = 0.0;
  double xx = 0.0;
  double yy = 0.0;
  for (std::size_t i = 0; i < x.size(); ++i) {
    xy += (x[i] - mean) * (y[i] - mean);
    xx += (x[i] - mean) * (x[i] - mean);
    yy += (y[i] - mean) * (y[i] - mean);
  }
  return xy / std::sqrt(xx * yy);
}

}  // namespace maturity
