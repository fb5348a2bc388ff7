#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace maturity {

/// A block that waits to be picked. Days are whole numbers in any one count.
struct PickingBlock {
  std::string block;
  /// Day from which it is likely to meet its rule; empty: no date.
  std::optional<int> ready_day;
  /// First whole day on which every withholding and re-entry period is over; empty: not known,
  /// which is never a clearance.
  std::optional<int> clear_day;
  /// Work it needs, crews times days.
  double crew_days = 0.0;
  /// Last day on which it should still be picked, the user's own; empty: none given.
  std::optional<int> last_day;
};

/// Why a block has no picking days.
enum class NotPlanned { no_date, not_cleared, no_crew_days };
std::string_view name(NotPlanned reason);
std::string_view sentence(NotPlanned reason);

/// Picking days of a block.
struct PickingTurn {
  std::string block;
  /// First day on which it may be picked: ready, cleared, not before the first picking day.
  std::optional<int> free_from;
  std::optional<int> start;
  std::optional<int> finish;
  /// Days it waits for crews.
  int waits = 0;
  /// Days left between finish and its last day; below 0: it slips by so many.
  std::optional<int> slack;
  std::optional<NotPlanned> not_planned;
};

/// Plain ordering by date: the block that may be picked first is picked first (of one day, the one
/// with the earlier last day, then as listed), one block at a time with all crews, none split.
/// `crews`: crews at work each day. No optimum is claimed. Blocks without a date come last, in
/// their order. Throws std::invalid_argument for crews <= 0, crew-days below 0 or not finite.
std::vector<PickingTurn> plan_picking(const std::vector<PickingBlock>& blocks, double crews,
                                      int first_day);

}  // namespace maturity
