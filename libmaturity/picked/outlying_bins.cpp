#include "libmaturity/picked/outlying_bins.h"

#include <algorithm>
#include <cstddef>

#include "libmaturity/picked/crew_scores.h"
#include "libmaturity/stats/acceptance.h"
#include "libmaturity/stats/proportion.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

struct StratumCount {
  double checked = 0.0;
  double found = 0.0;
};

/// Chance of `found` or more in `checked` fruit drawn from those of the stratum.
double chance_of_so_many(const BinCheck& bin, const StratumCount& all) {
  if (bin.found == 0) {
    return 1.0;
  }
  return 1.0 - acceptance_probability(bin.checked, bin.found - 1, all.found / all.checked,
                                      static_cast<int>(all.checked));
}

}  // namespace

std::vector<BinOutcome> outlying_bins(const std::vector<BinCheck>& checks, double level,
                                      double false_alarm) {
  check_bins(checks);
  for (const double chance : {level, false_alarm}) {
    if (!(chance > 0.0 && chance < 1.0)) {
      reject_argument("level, false_alarm", chance, "within 0 to 1");
    }
  }
  const NumberedBins data = number_bins(checks);
  std::vector<StratumCount> strata(data.strata.size());
  std::size_t compared = 0;
  for (std::size_t s = 0; s < strata.size(); ++s) {
    for (const std::size_t bin : data.strata[s]) {
      strata[s].checked += data.checked[bin];
      strata[s].found += data.found[bin];
    }
    compared += data.strata[s].size() > 1 ? data.strata[s].size() : 0;
  }
  std::vector<BinOutcome> outcomes;
  for (std::size_t i = 0; i < checks.size(); ++i) {
    const StratumCount& all = strata[data.stratum[i]];
    BinOutcome one;
    one.share = data.found[i] / data.checked[i];
    one.interval = proportion_interval(data.found[i], data.checked[i], level,
                                       ProportionMethod::clopper_pearson);
    if (all.checked > data.checked[i]) {
      one.others_share = (all.found - data.found[i]) / (all.checked - data.checked[i]);
      one.p_value =
          std::min(1.0, static_cast<double>(compared) * chance_of_so_many(checks[i], all));
      one.stands_out = *one.p_value <= false_alarm && one.share > *one.others_share;
    }
    outcomes.push_back(one);
  }
  return outcomes;
}

}  // namespace maturity
