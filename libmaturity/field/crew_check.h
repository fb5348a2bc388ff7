#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "libmaturity/stats/bounds.h"

namespace maturity {

/// One look into one bin: so many fruit cut or measured, so many of them immature (or damaged: any
/// finding counts the same way).
struct BinCheck {
  std::string block;
  std::string method;
  std::string date;
  std::string crew;
  /// Blank where bins were not told apart.
  std::string bin;
  int checked = 0;
  int found = 0;
};

struct CrewOptions {
  double level = 0.95;
  /// Chance, over all crews together, of calling any one different when none is.
  double false_alarm = 0.05;
  /// Fewer fruit than this, of a crew or of those it is compared with, cannot tell.
  int fewest_fruit = 20;
  int shuffles = 1999;
  std::uint64_t seed = 1;
};

/// Why a crew is not compared.
enum class CannotTell {
  too_few_fruit,
  /// One bin: the bin may be odd, not the crew.
  one_bin,
  /// No other crew in the same block with the same method.
  nobody_to_compare
};
std::string_view name(CannotTell reason);
std::string_view sentence(CannotTell reason);

struct CrewShare {
  std::string crew;
  int bins = 0;
  int checked = 0;
  int found = 0;
  double share = 0.0;
  /// As if fruit were independent.
  Bounds wilson;
  Bounds clopper_pearson;
  /// Wilson with the fruit count divided by the design effect: the one to quote.
  Bounds interval;
  /// Drawn towards all crews, for ranking only; empty for a single crew.
  std::optional<double> shrunk_share;
  std::optional<double> shrunk_se;
  /// What the blocks and methods it worked in would have given, fruit.
  double expected = 0.0;
  /// Chance of a difference as large, for the most different of all crews, by luck of the bins.
  std::optional<double> p_value;
  /// Different from the other crews of its blocks and methods; empty = cannot tell, see reason.
  /// False means: no more than chance, not: proven equal; look at the interval.
  std::optional<bool> differs;
  std::optional<CannotTell> reason;
};

struct CrewComparison {
  std::vector<CrewShare> crews;
  /// How much fruit of one bin resemble each other: variance over that of independent fruit, >= 1,
  /// pooled over crews. Empty where bins are too few to tell (fewer than 4 beyond one per crew,
  /// block and method): intervals then take fruit as independent and are too short if bins differ.
  std::optional<double> design_effect;
  /// True: differences judged by shuffling whole bins among crews within block and method (max-T of
  /// Westfall and Young, from memory). False: by a normal approximation for independent fruit
  /// (Mantel and Haenszel, Bonferroni), for want of bins.
  bool by_shuffling = false;
  /// Names that differ only by case or spaces: offered, not merged.
  std::vector<std::pair<std::string, std::string>> similar_names;
};

/// Compares crews within block and method. Throws std::invalid_argument naming the row (from 1) for
/// a blank block or crew, nothing checked, found outside 0..checked, or one bin of a crew and day
/// given twice (two denominators).
CrewComparison compare_crews(const std::vector<BinCheck>& checks, const CrewOptions& options = {});

}  // namespace maturity
