#include "libmaturity/picked/drawn_bins.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "libmaturity/stats/random_stream.h"

namespace maturity {

namespace {

/// Bad fruit of a bin: each fruit found makes the next likelier, by the correlation asked for.
double draw_bin(double checked, double share, double intraclass, RandomStream& stream) {
  if (!(share > 0.0 && share < 1.0)) {
    return share * checked;
  }
  // Balls of the urn at the start, in units of those added at each draw.
  const double balls = intraclass > 0.0 ? (1.0 - intraclass) / intraclass : 0.0;
  double found = 0.0;
  const auto fruit = static_cast<int>(checked);
  for (int drawn = 0; drawn < fruit; ++drawn) {
    const double chance = intraclass > 0.0 ? (balls * share + found) / (balls + drawn) : share;
    found += stream.uniform() < chance ? 1.0 : 0.0;
  }
  return found;
}

std::vector<double> scores_of(const NumberedBins& data, bool estimate_spread) {
  double intraclass = 0.0;
  if (estimate_spread) {
    const BinDispersion spread = bin_dispersion(data);
    intraclass = intraclass_of(spread.ratio, mean_bin_size(data));
  }
  const CrewScores scores = score_crews(data, data.crew, intraclass);
  std::vector<double> all;
  for (std::size_t c = 0; c < data.crews.size(); ++c) {
    all.push_back(standardised(scores, c));
  }
  return all;
}

}  // namespace

std::vector<double> drawn_p_values(const NumberedBins& data, const DrawnBins& how) {
  std::vector<double> share(data.crew.size(), 0.0);
  for (const std::vector<std::size_t>& bins : data.strata) {
    double checked = 0.0;
    double found = 0.0;
    for (const std::size_t bin : bins) {
      checked += data.checked[bin];
      found += data.found[bin];
    }
    for (const std::size_t bin : bins) {
      share[bin] = found / checked;
    }
  }
  const std::vector<double> observed = scores_of(data, how.estimate_spread);
  std::vector<int> as_large(observed.size(), 0);
  NumberedBins drawn = data;
  RandomStream stream(how.seed);
  for (int run = 0; run < how.draws; ++run) {
    for (std::size_t i = 0; i < share.size(); ++i) {
      drawn.found[i] = draw_bin(data.checked[i], share[i], how.intraclass, stream);
    }
    const std::vector<double> scores = scores_of(drawn, how.estimate_spread);
    const double largest = *std::max_element(scores.begin(), scores.end());
    for (std::size_t c = 0; c < observed.size(); ++c) {
      // Equal scores may differ by rounding.
      as_large[c] += largest >= observed[c] - 1e-12 ? 1 : 0;
    }
  }
  std::vector<double> p;
  p.reserve(as_large.size());
  for (const int count : as_large) {
    p.push_back((count + 1.0) / (how.draws + 1.0));
  }
  return p;
}

}  // namespace maturity
