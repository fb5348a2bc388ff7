#pragma once

#include <string_view>
#include <vector>

namespace maturity {

/// What is doubtful about a whole photo. Names as in the JSON results.
enum class PhotoFlag {
  blurred,
  too_dark,
  overexposed,
  tilted,
  no_markers,
  few_markers,
  no_fruit,
  same_board,
  count_differs
};

/// What is doubtful about one fruit of a photo, or about an outline handed in.
enum class FruitFlag {
  cut_by_frame,
  occluded,
  touching,
  low_contrast,
  not_fruit_like,
  not_flat,
  pose_uncertain
};

/// Name used in results, for instance "cut_by_frame".
std::string_view name(PhotoFlag flag);
std::string_view name(FruitFlag flag);

/// One plain sentence: what it means and what to do about it in the orchard.
std::string_view sentence(PhotoFlag flag);
std::string_view sentence(FruitFlag flag);

/// Every flag, in the order of the enumeration (for tables and documentation).
std::vector<PhotoFlag> all_photo_flags();
std::vector<FruitFlag> all_fruit_flags();

}  // namespace maturity
