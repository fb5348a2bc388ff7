#pragma once

#include <array>
#include <cstddef>

namespace maturity {

/// The greatest of several values that have normal errors: with errors any of them may come out on
/// top, and the spread of the greatest is not that of the one on top without errors.
///
/// Clark, C. E. (1961), "The greatest of a finite set of random variables", Oper. Res. 9:145-162:
/// two values at a time, the greater of two taken for normal again. Values that are much alike are
/// added first, one that differs from them may come last.
class Greatest {
 public:
  static constexpr std::size_t kMost = 28;
  /// Standard deviations below the top from which no value gets there.
  static constexpr double kOutOfReach = 4.0;

  std::size_t size() const { return count_; }
  /// Adds a value without saying its covariances; at most kMost.
  void add(double value) { value_[count_++] = value; }
  /// The last value, one unlike the others; none can be added after it.
  void add_apart(double value) {
    add(value);
    last_is_apart_ = true;
  }
  /// Sets the covariance of two values added before (its variance where i == j).
  void set_covariance(std::size_t i, std::size_t j, double covariance) {
    covariance_[i][j] = covariance;
    covariance_[j][i] = covariance;
  }
  /// After all values and covariances are there.
  void solve();

  /// Chance that this value is the greatest; they sum to 1.
  double chance(std::size_t i) const { return chance_[i]; }
  /// Mean of the greatest.
  double mean() const { return mean_; }
  /// Its variance.
  double variance() const { return variance_; }
  /// Variance of the greatest less that of the mean of all values weighed by their chances: what a
  /// first-order answer through those weights leaves out; 0 or more.
  double scatter() const { return scatter_; }

 private:
  void compare(std::size_t j);
  double through_chances(std::size_t count) const;

  std::size_t count_ = 0;
  std::array<double, kMost> value_{};
  std::array<double, kMost> chance_{};
  std::array<std::array<double, kMost>, kMost> covariance_;
  /// The greatest so far: mean, variance, covariance with each value.
  double mean_ = 0.0;
  double variance_ = 0.0;
  std::array<double, kMost> with_{};
  bool last_is_apart_ = false;
  double scatter_ = 0.0;
};

}  // namespace maturity
