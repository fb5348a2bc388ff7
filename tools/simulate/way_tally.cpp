#include "tools/simulate/way_tally.h"

#include "tools/simulate/real_pairs.h"

namespace maturity::simulate {

namespace {

double covers(const Interval& interval, double value) {
  return interval.low <= value && value <= interval.high ? 1.0 : 0.0;
}

}  // namespace

void WayTally::count(const BlockEstimate& block, double true_mean, double true_share) {
  const Interval mean = block.mean_dm_interval.value();
  mean_95_ += covers(mean, true_mean);
  share_95_ += covers(block.share_interval.value(), true_share);
  share_80_ += covers(block.share_interval_80.value(), true_share);
  width_ += mean.high - mean.low;
  error_ += block.mean_dm_pct.value() - true_mean;
}

void WayTally::count_ready(const BlockEstimate& block, std::size_t k) {
  ready_.at(k) += block.decision == Decision::ready ? 1.0 : 0.0;
}

void WayTally::print(std::ostream& out, double replicates) const {
  for (const double sum : {mean_95_, share_95_, share_80_}) {
    out << " | " << decimals(sum / replicates, 3);
  }
  out << " | " << decimals(width_ / replicates, 2) << " | " << decimals(error_ / replicates, 2);
  for (const double ready : ready_) {
    out << " | " << decimals(ready / replicates, 3);
  }
  out << " |\n";
}

void WayTally::print_head(std::ostream& out, const std::string& first_columns, int columns) {
  constexpr int kCells = 8;
  out << "| " << first_columns
      << " | mean 95 | share 95 | share 80 | width of mean 95 | bias of mean | \"ready\" at 0.85 | "
         "at 0.89 | at 0.95 |\n|";
  for (int i = 0; i < columns + kCells; ++i) {
    out << "---|";
  }
  out << "\n";
}

}  // namespace maturity::simulate
