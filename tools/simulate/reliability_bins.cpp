#include "tools/simulate/reliability_bins.h"

#include <cmath>

#include "tools/simulate/real_pairs.h"

namespace maturity::simulate {

void ReliabilityBins::add(double stated, bool met) {
  std::size_t b = 0;
  while (b + 1 < bins_.size() && stated >= kEdges.at(b + 1)) {
    ++b;
  }
  bins_.at(b).stated += stated;
  bins_.at(b).met += met ? 1.0 : 0.0;
  bins_.at(b).n += 1.0;
}

std::string ReliabilityBins::cell(std::size_t bin) const {
  const Bin& one = bins_.at(bin);
  if (one.n == 0.0) {
    return "-";
  }
  const double truth = one.met / one.n;
  return decimals(one.stated / one.n, 2) + ", " + decimals(truth, 2) + " (" +
         decimals(std::sqrt(truth * (1.0 - truth) / one.n), 2) + "), " + decimals(one.n, 0);
}

std::string ReliabilityBins::label(std::size_t bin) {
  return decimals(kEdges.at(bin), 2) + " to " + decimals(kEdges.at(bin + 1), 2);
}

}  // namespace maturity::simulate
