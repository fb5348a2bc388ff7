#include "libmaturity/readiness/crop_share.h"

#include <algorithm>
#include <array>
#include <boost/math/distributions/beta.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <cstddef>
#include <map>
#include <numeric>

#include "libmaturity/readiness/named_text.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

constexpr double kShareTail = 0.025;
constexpr double kJeffreys = 0.5;
/// So many that Student's t is normal.
constexpr double kManyDegrees = 1e6;

constexpr std::array<NamedText, 4> kCropShareSource{{
    {"counted", "Shares of the crop from the fruit counted on every tree."},
    {"counted_on_some",
     "Shares of the crop from the fruit counted on the trees that are listed, as if these had been "
     "drawn at random from the block."},
    {"sampled",
     "Shares of the crop from the fruit drawn at random, every tree counting alike whatever its "
     "crop."},
    {"given", "Shares of the crop as stated, taken for exact."},
}};

void check_groups(const std::vector<int>& group, std::size_t length, int groups) {
  if (group.size() != length) {
    reject_argument("group", std::to_string(group.size()) + " values", std::to_string(length));
  }
  for (const int one : group) {
    if (one < 0 || one >= groups) {
      reject_argument("group", one, "0 to " + std::to_string(groups - 1));
    }
  }
}

void check_amount(std::string_view what, std::size_t place, double value) {
  if (!(value >= 0.0) || std::isinf(value)) {
    reject_argument(std::string(what) + " " + std::to_string(place + 1), value,
                    "a number of at least 0");
  }
}

CropShares exact(std::vector<double> share) {
  const double sum = std::accumulate(share.begin(), share.end(), 0.0);
  if (!(sum > 0.0)) {
    reject_argument("shares of the crop", "all are 0", "a crop on one group at least");
  }
  CropShares shares;
  for (double& one : share) {
    one /= sum;
    shares.interval.push_back({one, one});
  }
  shares.share = std::move(share);
  return shares;
}

/// A Dirichlet of this many fruit in all, whose intervals are those of its beta margins.
void spread_out(double number, double prior, CropShares& shares) {
  double sum = 0.0;
  for (const double share : shares.share) {
    // What has trees and no fruit on them has none: it was picked.
    shares.concentration.push_back(
        share > 0.0 || shares.source == CropShareSource::sampled ? number * share + prior : 0.0);
    sum += shares.concentration.back();
  }
  for (std::size_t g = 0; g < shares.share.size(); ++g) {
    const double own = shares.concentration[g];
    if (own == 0.0) {
      shares.interval[g] = {0.0, 0.0};
      continue;
    }
    const boost::math::beta_distribution<> margin(own, sum - own);
    shares.share[g] = own / sum;
    shares.interval[g] = {boost::math::quantile(margin, kShareTail),
                          boost::math::quantile(boost::math::complement(margin, kShareTail))};
  }
}

/// Shares from counts, SUM_g p_g (1 - p_g), and the variance that counting gives SUM_g p_g.
struct Counted {
  CropShares shares;
  double binomial = 0.0;
  double variance = 0.0;
};

Counted count_crop(const std::vector<int>& group, const std::vector<double>& crop, int groups) {
  check_groups(group, crop.size(), groups);
  std::vector<double> sum(static_cast<std::size_t>(groups), 0.0);
  std::vector<double> square(sum.size(), 0.0);
  for (std::size_t t = 0; t < crop.size(); ++t) {
    check_amount("crop of tree", t, crop[t]);
    sum[static_cast<std::size_t>(group[t])] += crop[t];
    square[static_cast<std::size_t>(group[t])] += crop[t] * crop[t];
  }
  Counted counted{exact(sum)};
  CropShares& shares = counted.shares;
  shares.source = CropShareSource::counted;
  shares.trees = static_cast<int>(crop.size());
  shares.fruit = std::accumulate(sum.begin(), sum.end(), 0.0);
  // Variance of the log of each group's count, and of the shares to first order.
  std::vector<double> relative(sum.size(), 0.0);
  for (std::size_t g = 0; g < sum.size(); ++g) {
    if (sum[g] > 0.0) {
      relative[g] = kGroupCountError * kGroupCountError +
                    kTreeCountError * kTreeCountError * square[g] / (sum[g] * sum[g]);
    }
  }
  for (std::size_t g = 0; g < sum.size(); ++g) {
    const double p = shares.share[g];
    double of_log = 0.0;
    for (std::size_t h = 0; h < sum.size(); ++h) {
      const double weight = h == g ? 1.0 - p : shares.share[h];
      of_log += weight * weight * relative[h];
    }
    counted.variance += p * p * of_log;
    counted.binomial += p * (1.0 - p);
  }
  return counted;
}

/// A Dirichlet of number n has variances p (1 - p)/(n + 1).
double number_of(double binomial, double variance) {
  return std::max(1.0, binomial / variance - 1.0);
}

bool one_group_only(const CropShares& shares) {
  return std::count_if(shares.share.begin(), shares.share.end(),
                       [](double one) { return one > 0.0; }) < 2;
}

double t_quantile(double degrees) {
  return boost::math::quantile(
      boost::math::complement(boost::math::students_t(std::max(1.0, degrees)), kShareTail));
}

}  // namespace

std::string_view name(CropShareSource source) {
  return kCropShareSource.at(static_cast<std::size_t>(source)).name;
}
std::string_view sentence(CropShareSource source) {
  return kCropShareSource.at(static_cast<std::size_t>(source)).sentence;
}
std::vector<CropShareSource> all_crop_share_sources() {
  return {CropShareSource::counted, CropShareSource::counted_on_some, CropShareSource::sampled,
          CropShareSource::given};
}

double CropShares::sd(std::size_t group) const {
  const double number = std::accumulate(concentration.begin(), concentration.end(), 0.0);
  const double p = share.at(group);
  return number > 0.0 ? std::sqrt(p * (1.0 - p) / (number + 1.0)) : 0.0;
}

CropShares given_crop_shares(const std::vector<double>& weights) {
  for (std::size_t g = 0; g < weights.size(); ++g) {
    check_amount("share of the crop of group", g, weights[g]);
  }
  return exact(weights);
}

CropShares counted_crop_shares(const std::vector<int>& group, const std::vector<double>& crop,
                               int groups) {
  Counted counted = count_crop(group, crop, groups);
  if (!one_group_only(counted.shares)) {
    spread_out(number_of(counted.binomial, counted.variance), 0.0, counted.shares);
  }
  return counted.shares;
}

std::optional<CropShares> partly_counted_crop_shares(const std::vector<int>& group,
                                                     const std::vector<double>& crop, int groups,
                                                     double of_block) {
  if (!(of_block >= 0.0 && of_block <= 1.0)) {
    reject_argument("of_block", of_block, "0 to 1");
  }
  Counted counted = count_crop(group, crop, groups);
  CropShares& shares = counted.shares;
  std::vector<int> trees(shares.share.size(), 0);
  for (const int one : group) {
    ++trees[static_cast<std::size_t>(one)];
  }
  if (shares.trees < kFewestShareTrees) {
    return std::nullopt;
  }
  for (std::size_t g = 0; g < trees.size(); ++g) {
    if (trees[g] < (shares.share[g] > 0.0 ? 1 : kFewestShareTrees)) {
      return std::nullopt;
    }
  }
  shares.source = CropShareSource::counted_on_some;
  if (one_group_only(shares)) {
    return shares;
  }
  const auto k = static_cast<double>(crop.size());
  double draw = 0.0;
  for (std::size_t g = 0; g < shares.share.size(); ++g) {
    for (std::size_t t = 0; t < crop.size(); ++t) {
      const double here = static_cast<std::size_t>(group[t]) == g ? crop[t] : 0.0;
      const double off = (here - crop[t] * shares.share[g]) / shares.fruit;
      draw += (1.0 - of_block) * k / (k - 1.0) * off * off;
    }
  }
  const double few_trees = t_quantile(k - 1.0) / t_quantile(kManyDegrees);
  spread_out(number_of(counted.binomial, counted.variance + draw * few_trees * few_trees),
             kJeffreys, shares);
  return shares;
}

std::optional<CropShares> sampled_crop_shares(const std::vector<int>& group,
                                              const std::vector<std::string>& tree, int groups) {
  check_groups(group, tree.size(), groups);
  std::map<std::string, std::vector<double>> of_tree;
  std::vector<double> sum(static_cast<std::size_t>(groups), 0.0);
  for (std::size_t i = 0; i < group.size(); ++i) {
    auto& counts = of_tree[tree[i]];
    counts.resize(sum.size(), 0.0);
    counts[static_cast<std::size_t>(group[i])] += 1.0;
    sum[static_cast<std::size_t>(group[i])] += 1.0;
  }
  const auto k = static_cast<double>(of_tree.size());
  const auto n = static_cast<double>(group.size());
  if (of_tree.size() < static_cast<std::size_t>(kFewestShareTrees)) {
    return std::nullopt;
  }
  CropShares shares = exact(sum);
  shares.source = CropShareSource::sampled;
  shares.trees = static_cast<int>(of_tree.size());
  shares.fruit = n;
  if (groups == 1) {
    return shares;
  }
  double variance = 0.0;
  double binomial = 0.0;
  for (std::size_t g = 0; g < sum.size(); ++g) {
    const double p = shares.share[g];
    binomial += p * (1.0 - p) / n;
    for (const auto& [label, counts] : of_tree) {
      const double fruit = std::accumulate(counts.begin(), counts.end(), 0.0);
      const double off = (counts[g] - fruit * p) / n;
      variance += k / (k - 1.0) * off * off;
    }
  }
  double effect = binomial > 0.0 ? std::max(1.0, variance / binomial) : 1.0;
  if (std::find(sum.begin(), sum.end(), 0.0) != sum.end()) {
    // How much trees differ in what none of them gave cannot be told: each counts as one fruit.
    effect = std::max(effect, n / k);
  }
  const double few_trees = t_quantile(n - 1.0) / t_quantile(k - 1.0);
  spread_out(n / effect * few_trees * few_trees, kJeffreys, shares);
  return shares;
}

}  // namespace maturity
