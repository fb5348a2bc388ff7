#include "libmaturity/field/tree_sample.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <limits>
#include <numeric>
#include <string>

#include "libmaturity/stats/random_stream.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

// Chances this near to 0 or 1 are decided: what is left is rounding.
constexpr double kDecided = 1e-9;
// Trees of a planted grid stand at equal distances; the last bits of a square must not choose.
constexpr double kSameDistance = 1e-9;

double squared_distance(const TreePlace& one, const TreePlace& other) {
  return (one.x_m - other.x_m) * (one.x_m - other.x_m) +
         (one.y_m - other.y_m) * (one.y_m - other.y_m);
}

void check(const std::vector<TreePlace>& trees, int count) {
  if (count < 1 || static_cast<std::size_t>(count) > trees.size()) {
    reject_argument(
        "count", count,
        "at least 1 and at most the trees that may be drawn, " + std::to_string(trees.size()));
  }
  for (std::size_t i = 0; i < trees.size(); ++i) {
    if (!std::isfinite(trees[i].x_m) || !std::isfinite(trees[i].y_m)) {
      reject_argument("tree " + std::to_string(i + 1), "no place", "a place for every tree");
    }
  }
}

class PivotalDraw {
 public:
  PivotalDraw(const std::vector<TreePlace>& trees, int count, std::uint64_t seed)
      : trees_(trees),
        chance_(trees.size(), static_cast<double>(count) / static_cast<double>(trees.size())),
        undecided_(trees.size()),
        stream_(seed) {
    std::iota(undecided_.begin(), undecided_.end(), std::size_t{0});
  }

  std::vector<std::size_t> run() {
    drop_decided();
    while (undecided_.size() > 1) {
      const std::size_t one = undecided_[stream_.below(undecided_.size())];
      const std::vector<std::size_t> near = nearest(one);
      const std::size_t other = near[stream_.below(near.size())];
      const std::vector<std::size_t> back = nearest(other);
      // Only mutual neighbours decide between them.
      if (std::find(back.begin(), back.end(), one) != back.end()) {
        settle(one, other);
        drop_decided();
      }
    }
    if (!undecided_.empty()) {
      double& last = chance_[undecided_.front()];
      last = stream_.uniform() < last ? 1.0 : 0.0;
    }
    std::vector<std::size_t> drawn;
    for (std::size_t i = 0; i < chance_.size(); ++i) {
      if (chance_[i] > 0.5) {
        drawn.push_back(i);
      }
    }
    return drawn;
  }

 private:
  std::vector<std::size_t> nearest(std::size_t from) const {
    double best = std::numeric_limits<double>::infinity();
    std::vector<std::size_t> found;
    for (const std::size_t each : undecided_) {
      if (each == from) {
        continue;
      }
      const double distance = squared_distance(trees_[from], trees_[each]);
      if (distance < best * (1.0 - kSameDistance) - kSameDistance) {
        found.clear();
        best = distance;
      }
      if (distance <= best * (1.0 + kSameDistance) + kSameDistance) {
        found.push_back(each);
      }
    }
    return found;
  }

  void settle(std::size_t one, std::size_t other) {
    double& a = chance_[one];
    double& b = chance_[other];
    const double sum = a + b;
    if (sum < 1.0) {
      const bool first = stream_.uniform() * sum < a;
      a = first ? sum : 0.0;
      b = first ? 0.0 : sum;
      return;
    }
    const bool first = stream_.uniform() * (2.0 - sum) < 1.0 - b;
    a = first ? 1.0 : sum - 1.0;
    b = first ? sum - 1.0 : 1.0;
  }

  void drop_decided() {
    undecided_.erase(std::remove_if(undecided_.begin(), undecided_.end(),
                                    [&](std::size_t each) {
                                      return chance_[each] < kDecided ||
                                             chance_[each] > 1.0 - kDecided;
                                    }),
                     undecided_.end());
  }

  const std::vector<TreePlace>& trees_;
  std::vector<double> chance_;
  std::vector<std::size_t> undecided_;
  RandomStream stream_;
};

}  // namespace

std::vector<std::size_t> draw_balanced_trees(const std::vector<TreePlace>& trees, int count,
                                             std::uint64_t seed) {
  check(trees, count);
  return PivotalDraw(trees, count, seed).run();
}

std::vector<std::vector<std::size_t>> deal_into_rounds(const std::vector<TreePlace>& places,
                                                       int rounds, std::uint64_t seed) {
  if (rounds < 1 || static_cast<std::size_t>(rounds) > places.size()) {
    reject_argument("rounds", rounds, "1 to the trees drawn, " + std::to_string(places.size()));
  }
  // Draws of one walk must not repeat each other's numbers.
  constexpr std::uint64_t kSeedStep = 0x9E3779B97F4A7C15U;
  std::vector<std::size_t> left(places.size());
  std::iota(left.begin(), left.end(), std::size_t{0});
  std::vector<std::vector<std::size_t>> dealt;
  for (int to_come = rounds; to_come > 1; --to_come) {
    std::vector<TreePlace> where;
    where.reserve(left.size());
    for (const std::size_t each : left) {
      where.push_back(places[each]);
    }
    const int count = static_cast<int>((left.size() + static_cast<std::size_t>(to_come) - 1U) /
                                       static_cast<std::size_t>(to_come));
    seed += kSeedStep;
    std::vector<std::size_t> round;
    for (const std::size_t each : draw_balanced_trees(where, count, seed)) {
      round.push_back(left[each]);
    }
    std::vector<std::size_t> rest;
    std::set_difference(left.begin(), left.end(), round.begin(), round.end(),
                        std::back_inserter(rest));
    left = rest;
    dealt.push_back(round);
  }
  dealt.push_back(left);
  return dealt;
}

double balanced_standard_error(const std::vector<TreePlace>& places,
                               const std::vector<double>& values, int neighbours) {
  const std::size_t n = places.size();
  if (n < 2 || values.size() != n) {
    reject_argument("values", values.size(), "one per place, and at least 2");
  }
  if (neighbours < 2 || static_cast<std::size_t>(neighbours) > n) {
    reject_argument("neighbours", neighbours, "2 to the number of trees, " + std::to_string(n));
  }
  check(places, 1);
  const auto m = static_cast<std::size_t>(neighbours);
  double sum = 0.0;
  for (std::size_t i = 0; i < n; ++i) {
    if (!std::isfinite(values[i])) {
      reject_argument("values", values[i], "finite values");
    }
    std::vector<std::size_t> order(n);
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t one, std::size_t other) {
      return squared_distance(places[i], places[one]) < squared_distance(places[i], places[other]);
    });
    double mean = 0.0;
    for (std::size_t k = 0; k < m; ++k) {
      mean += values[order[k]] / static_cast<double>(m);
    }
    sum += (values[i] - mean) * (values[i] - mean);
  }
  const auto scale = static_cast<double>(m) / static_cast<double>(m - 1);
  return std::sqrt(scale * sum) / static_cast<double>(n);
}

}  // namespace maturity
