#include "libmaturity/drymatter/meter_reading.h"

#include <cmath>
#include <cstddef>
#include <map>
#include <tuple>
#include <utility>

#include "libmaturity/drymatter/dm_range.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

using Instrument = std::pair<std::string, std::string>;

struct PooledSpread {
  double squares = 0.0;
  int degrees = 0;
};

void check(const std::vector<MeterReading>& readings) {
  for (std::size_t i = 0; i < readings.size(); ++i) {
    const std::string place = ", row " + std::to_string(i + 1);
    if (readings[i].fruit.empty() || readings[i].meter.empty()) {
      reject_argument("fruit, meter" + place, "blank", "the fruit and the instrument named");
    }
    if (!(readings[i].dm_pct >= kLowestDmPct && readings[i].dm_pct <= kHighestDmPct)) {
      reject_argument("dm_pct" + place, readings[i].dm_pct, "3 to 40 % of fresh weight");
    }
  }
}

}  // namespace

std::vector<MeterValue> combine_meter_readings(const std::vector<MeterReading>& readings) {
  check(readings);
  std::vector<MeterValue> values;
  std::vector<double> squares;
  std::map<std::tuple<std::string, std::string, std::string>, std::size_t> place;
  for (const MeterReading& reading : readings) {
    const auto [found, fresh] = place.try_emplace(
        std::make_tuple(reading.fruit, reading.meter, reading.setting), values.size());
    if (fresh) {
      values.push_back({reading.fruit, reading.meter, reading.setting, 0.0, 0, std::nullopt});
      squares.push_back(0.0);
    }
    MeterValue& value = values[found->second];
    ++value.readings;
    const double gap = reading.dm_pct - value.dm_pct;
    value.dm_pct += gap / value.readings;
    squares[found->second] += gap * (reading.dm_pct - value.dm_pct);
  }
  std::map<Instrument, PooledSpread> pooled;
  for (std::size_t i = 0; i < values.size(); ++i) {
    PooledSpread& spread = pooled[{values[i].meter, values[i].setting}];
    spread.squares += squares[i];
    spread.degrees += values[i].readings - 1;
  }
  for (MeterValue& value : values) {
    const PooledSpread& spread = pooled[{value.meter, value.setting}];
    if (spread.degrees > 0) {
      value.repeat_se_pct = std::sqrt(spread.squares / spread.degrees / value.readings);
    }
  }
  return values;
}

}  // namespace maturity
