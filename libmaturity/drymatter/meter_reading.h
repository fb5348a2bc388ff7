#pragma once

#include <optional>
#include <string>
#include <vector>

namespace maturity {

/// One reading of a hand meter.
struct MeterReading {
  std::string fruit;
  /// Instrument and its setting (the model chosen on it) name one bias together.
  std::string meter;
  std::string setting;
  double dm_pct = 0.0;
};

/// Readings of one fruit with one instrument and setting, drawn together. Error here is that of
/// repeating the reading only: the bias of the instrument is not in it.
struct MeterValue {
  std::string fruit;
  std::string meter;
  std::string setting;
  double dm_pct = 0.0;
  int readings = 0;
  /// Standard error of the mean from the repeat SD pooled over this instrument's fruit; empty
  /// while no fruit of it was read twice.
  std::optional<double> repeat_se_pct;
};

/// Mean of replicates by fruit, instrument and setting, in order of first appearance. Throws
/// std::invalid_argument naming the row (from 1) for a blank fruit or meter, or dm_pct outside
/// 3..40.
std::vector<MeterValue> combine_meter_readings(const std::vector<MeterReading>& readings);

}  // namespace maturity
