#pragma once

#include <string_view>
#include <vector>

namespace maturity {

enum class FindingKind {
  /// Picked too early.
  maturity,
  /// From picking to the shed.
  handling,
  /// There before anybody touched the fruit: no crew's doing.
  before_harvest,
  /// Shows in storage, from wounds as from the field: laid at nobody's door.
  storage
};
std::string_view name(FindingKind kind);

/// What is known of one finding. Sentences are general; a blank place has nothing to change.
struct Finding {
  std::string_view name;
  FindingKind kind = FindingKind::handling;
  /// Shows one to two days late (common practice, no source).
  bool late = false;
  std::string_view cause;
  std::string_view at_tree;
  std::string_view at_mat;
  std::string_view in_bin;
  std::string_view in_shed;
  /// Where the cause was read. What to change is common practice, no source.
  std::string_view source;
};

/// All findings of picked fruit, in the order of the season folder's list.
const std::vector<Finding>& findings();

}  // namespace maturity
