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
  /// At least; more where the false alarm asks for it (20 for each).
  int shuffles = 1999;
  std::uint64_t seed = 1;
  /// How alike fruit of one look are (intraclass correlation) where bins are too few to tell, and
  /// at least so alike where few bins tell it. PLANNING GUESS: 50 fruit of a bin then vary 2.5
  /// times as much as independent ones.
  double assumed_intraclass = 0.03;
};

/// Why a crew is not compared.
enum class CannotTell {
  too_few_fruit,
  /// One bin: the bin may be odd, not the crew.
  one_bin,
  /// No other crew in the same block with the same method.
  nobody_to_compare,
  /// Others in the same block with the same method, but never on the same day.
  other_days,
  /// Different if fruit were independent, no longer as bins vary, and bins too few to be sure.
  bins_not_told,
  /// Different as bins of one day vary, no longer as the crew's days do: other trees each day.
  days_not_told
};
std::string_view name(CannotTell reason);
std::string_view sentence(CannotTell reason);

struct CrewShare {
  std::string crew;
  int bins = 0;
  int checked = 0;
  int found = 0;
  /// Over all its bins; what is compared is own_share.
  double share = 0.0;
  /// As if fruit were independent.
  Bounds wilson;
  Bounds clopper_pearson;
  /// Wilson with the fruit count divided by the design effect for bins of this crew's size, and
  /// again by (t/z)^2 for an effect known from few bins (Korn and Graubard 1998, from memory); by
  /// the assumed likeness where bins do not tell it. The one to quote.
  Bounds interval;
  /// Drawn towards all crews, for ranking only; empty for a single crew, and where crews worked in
  /// several blocks or with several methods, since blocks would then be ranked and not crews. From
  /// own_share, days evened out: a crew that never stood beside another has none.
  std::optional<double> shrunk_share;
  std::optional<double> shrunk_se;
  /// What the blocks, methods and days it worked in would have given, fruit.
  double expected = 0.0;
  /// Share of the crew over the blocks, methods and days it shared with others: the one to hold
  /// against others_share. Empty with it.
  std::optional<double> own_share;
  /// Fruit it was looked at there.
  int own_checked = 0;
  /// Share of the other crews in the same blocks, methods and days, weighted by this crew's fruit;
  /// for a crew that differs, without the crews set aside before it.
  std::optional<double> others_share;
  /// Days shared with others, and those on which its share was above and below theirs.
  int own_days = 0;
  int days_above = 0;
  int days_below = 0;
  /// Chance of a difference as large, for the most different of all crews, by luck of the bins.
  std::optional<double> p_value;
  /// Different from the other crews of its blocks, methods and days; empty = cannot tell, see
  /// reason. False means: no more than chance, not: proven equal; look at the interval. A crew that
  /// differs is set aside, so that the rest are not called better for standing beside it.
  std::optional<bool> differs;
  std::optional<CannotTell> reason;
};

/// How a difference was told from chance.
enum class ComparedBy {
  /// Whole bins shuffled among the crews of a block, method and day (max-T of Westfall and Young,
  /// from memory); nothing assumed about how bins vary.
  shuffled_bins,
  /// Too few bins to shuffle: the spread of bins within crews; the larger p-value of Student's t
  /// (Bonferroni) and of bins drawn at random with at least the assumed likeness.
  bin_spread,
  /// Too few bins even for that: the same with CrewOptions::assumed_intraclass.
  assumed_spread
  // In each of them days count too: see crew_days.h.
};
std::string_view name(ComparedBy way);

/// All crews together.
struct WholeShare {
  int bins = 0;
  int checked = 0;
  int found = 0;
  double share = 0.0;
  /// Knows bins, as that of a crew does; bins of all crews are taken as drawn in their proportion.
  Bounds interval;
};

struct CrewComparison {
  std::vector<CrewShare> crews;
  /// Empty without any check.
  std::optional<WholeShare> whole;
  /// How much fruit of one bin resemble each other: variance over that of independent fruit, >= 1,
  /// pooled over crews. Empty where bins are too few to tell (fewer than 4 beyond one per crew,
  /// block, method and day): intervals then take CrewOptions::assumed_intraclass.
  std::optional<double> design_effect;
  /// Bins beyond one per crew, block, method and day: degrees of freedom of the design effect.
  int spare_bins = 0;
  ComparedBy compared_by = ComparedBy::assumed_spread;
  /// Names that differ only by case or spaces: offered, not merged.
  std::vector<std::pair<std::string, std::string>> similar_names;
};

/// Wilson's interval that knows bins: fruit divided by the design effect, and by (t/z)^2 for an
/// effect known from few bins (Korn and Graubard 1998, from memory); 0 spare bins: taken as known.
/// 0 <= found <= checked, checked > 0, design effect >= 1. Throws std::invalid_argument.
Bounds clustered_interval(double found, double checked, double design_effect, int spare_bins,
                          double level = 0.95);

/// Compares crews within block, method and day. Throws std::invalid_argument naming the row (from
/// 1) for a blank block or crew, nothing checked, found outside 0..checked, or one bin of a crew
/// and day given twice (two denominators); or naming an option out of its range.
CrewComparison compare_crews(const std::vector<BinCheck>& checks, const CrewOptions& options = {});

}  // namespace maturity
