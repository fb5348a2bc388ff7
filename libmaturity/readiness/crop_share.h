#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "libmaturity/readiness/block_estimate.h"

namespace maturity {

/// Where shares of the crop come from.
enum class CropShareSource {
  /// Fruit counted on every tree.
  counted,
  /// Fruit counted on some trees, drawn at random.
  counted_on_some,
  /// Fruit drawn at random.
  sampled,
  /// Stated by the user, taken for exact.
  given
};
std::string_view name(CropShareSource source);
/// One plain sentence.
std::string_view sentence(CropShareSource source);
std::vector<CropShareSource> all_crop_share_sources();

/// What share of a block's crop each of its groups is.
struct CropShares {
  CropShareSource source = CropShareSource::given;
  /// (g), sums to 1.
  std::vector<double> share;
  /// 95 % (g).
  std::vector<Interval> interval;
  /// Dirichlet parameters (g), 0 where the share is; empty: the shares are exact.
  std::vector<double> concentration;
  /// Trees, and fruit counted or drawn, that they rest on.
  int trees = 0;
  double fruit = 0.0;

  /// Standard deviation of a group's share: the Dirichlet's, 0 where it is exact.
  double sd(std::size_t group) const;
};

/// Fewest trees with fruit drawn at random that say anything of shares: the error comes from how
/// trees differ.
inline constexpr int kFewestShareTrees = 5;

/// Error of one tree's count of fruit, as a share of it, and of all counts of a group together
/// (fruit of one flowering hide better). Planning guesses, not measured.
inline constexpr double kTreeCountError = 0.2;
inline constexpr double kGroupCountError = 0.1;

/// Weights in any unit (g), made to sum to 1. Throws std::invalid_argument for a weight that is
/// negative or no number, and where all are 0.
CropShares given_crop_shares(const std::vector<double>& weights);

/// From the fruit of every tree: `group` (trees) is 0..groups-1, `crop` (trees) the fruit on it.
/// Their error is that of counting (kTreeCountError, kGroupCountError), carried to the shares to
/// first order. Throws std::invalid_argument for lengths that differ, an unknown group, a count
/// that is negative or no number, and where all are 0.
CropShares counted_crop_shares(const std::vector<int>& group, const std::vector<double>& crop,
                               int groups);

/// The same from `of_block` (0..1) of the block's trees, drawn at random; 0: it is not known how
/// few. To the error of counting comes that of the draw, trees as clusters of a ratio estimate:
/// with c_t the crop of a tree and p the share among them, var = (1 - of_block) k/(k-1) SUM (c_tg -
/// c_t p_g)^2 / (SUM c)^2 (Cochran 1977), made larger by (t_(k-1)/z)^2 for few trees; Dirichlet
/// with 1/2 added (Jeffreys). Empty below kFewestShareTrees trees, and where a group has none, or
/// fewer than so many and no fruit on them: a draw that missed it says only that it is rare. Throws
/// as counted_crop_shares does.
std::optional<CropShares> partly_counted_crop_shares(const std::vector<int>& group,
                                                     const std::vector<double>& crop, int groups,
                                                     double of_block);

/// From fruit drawn at random: `group` and `tree` (fruit). With p the share among the fruit, trees
/// are the clusters of a ratio estimate: var = k/(k-1) SUM (n_tg - n_t p_g)^2 / n^2 (Cochran 1977);
/// design effect d = SUM_g var_g / SUM_g p_g (1 - p_g)/n, the mean one of Rao and Scott (1981), at
/// least 1 (n/k where a group gave none); effective number n/d, made smaller by (t_(n-1)/t_(k-1))^2
/// for the few trees behind d (Korn and Graubard 1998); Dirichlet with 1/2 added to each group
/// (Jeffreys). Sources from memory; coverage by simulation in
/// docs/method/block-estimate-evidence.md. Empty below kFewestShareTrees trees. Throws
/// std::invalid_argument for lengths that differ or an unknown group.
std::optional<CropShares> sampled_crop_shares(const std::vector<int>& group,
                                              const std::vector<std::string>& tree, int groups);

}  // namespace maturity
