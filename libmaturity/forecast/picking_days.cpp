#include "libmaturity/forecast/picking_days.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <limits>

#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

// Sums of thirds and tenths of days must not open another day.
constexpr double kSameTime = 1e-9;

struct ReasonText {
  std::string_view name;
  std::string_view sentence;
};

constexpr std::array<ReasonText, 3> kNotPlanned{{
    {"no_date", "No date on which it is likely to meet its rule"},
    {"not_cleared", "Not cleared, or the spray record does not say from when"},
    {"no_crew_days", "Nobody said how many crew-days it needs"},
}};

std::optional<NotPlanned> why_not(const PickingBlock& block) {
  if (!block.clear_day) {
    return NotPlanned::not_cleared;
  }
  if (!block.ready_day) {
    return NotPlanned::no_date;
  }
  if (block.crew_days == 0.0) {
    return NotPlanned::no_crew_days;
  }
  return std::nullopt;
}

}  // namespace

std::string_view name(NotPlanned reason) {
  return kNotPlanned.at(static_cast<std::size_t>(reason)).name;
}
std::string_view sentence(NotPlanned reason) {
  return kNotPlanned.at(static_cast<std::size_t>(reason)).sentence;
}

std::vector<PickingTurn> plan_picking(const std::vector<PickingBlock>& blocks, double crews,
                                      int first_day) {
  if (!(crews > 0.0) || !std::isfinite(crews)) {
    reject_argument("crews", crews, "more than 0 at work each day");
  }
  std::vector<PickingTurn> planned;
  std::vector<PickingTurn> rest;
  std::vector<std::size_t> order;
  std::vector<int> free_from(blocks.size(), first_day);
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    if (!(blocks[i].crew_days >= 0.0) || !std::isfinite(blocks[i].crew_days)) {
      reject_argument("crew_days of " + blocks[i].block, blocks[i].crew_days, "0 or more");
    }
    const auto reason = why_not(blocks[i]);
    if (reason) {
      PickingTurn turn;
      turn.block = blocks[i].block;
      turn.not_planned = reason;
      rest.push_back(turn);
      continue;
    }
    free_from[i] = std::max({first_day, *blocks[i].ready_day, *blocks[i].clear_day});
    order.push_back(i);
  }
  const auto last = [&](std::size_t i) {
    return blocks[i].last_day.value_or(std::numeric_limits<int>::max());
  };
  std::stable_sort(order.begin(), order.end(), [&](std::size_t one, std::size_t other) {
    return free_from[one] < free_from[other] ||
           (free_from[one] == free_from[other] && last(one) < last(other));
  });
  double now = first_day;
  for (const std::size_t i : order) {
    PickingTurn turn;
    turn.block = blocks[i].block;
    turn.free_from = free_from[i];
    const double begin = std::max(now, static_cast<double>(free_from[i]));
    now = begin + blocks[i].crew_days / crews;
    turn.start = static_cast<int>(std::floor(begin + kSameTime));
    turn.finish = std::max(*turn.start, static_cast<int>(std::ceil(now - kSameTime)) - 1);
    turn.waits = *turn.start - free_from[i];
    if (blocks[i].last_day) {
      turn.slack = *blocks[i].last_day - *turn.finish;
    }
    planned.push_back(turn);
  }
  planned.insert(planned.end(), rest.begin(), rest.end());
  return planned;
}

}  // namespace maturity
