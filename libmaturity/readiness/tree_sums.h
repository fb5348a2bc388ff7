#pragma once

#include <Eigen/Core>
#include <array>
#include <utility>
#include <vector>

namespace maturity {

/// Most slopes that the model can carry (8 descriptors and the "has oven" column), and size of phi.
inline constexpr int kMostSlopes = 9;
inline constexpr int kLargestPhi = kMostSlopes + 2;

/// Rows of the model: fruit with their tree, standardised shape and readings (% less the prior
/// mean; NaN = missing).
struct ModelRows {
  /// Tree code 0..k-1 (n).
  std::vector<int> tree;
  /// (n,p)
  Eigen::MatrixXd x;
  std::vector<double> oven;
  std::vector<double> meter;
};

/// The variances of the model, squared %.
struct ErrorVariances {
  double tree = 0.0;
  double fruit = 0.0;
  double oven = 0.0;
  double meter = 0.0;
};

/// Everything that the likelihood needs of the data, summed once by tree and by which readings a
/// fruit has. phi = (level, slopes, meter bias), size P = 1 + p, plus 1 with a meter.
class TreeSums {
 public:
  /// Throws std::invalid_argument for more than kMostSlopes columns of x.
  explicit TreeSums(const ModelRows& rows);

  int trees() const { return trees_; }
  int slopes() const { return slopes_; }
  bool with_meter() const { return with_meter_; }
  /// P
  int size() const { return 1 + slopes_ + (with_meter_ ? 1 : 0); }

 private:
  friend class VarianceTerms;

  enum Kind { kOvenOnly, kMeterOnly, kBoth, kKinds };

  struct KindSums {
    /// By tree: sums of (1, x) as columns (1 + p, k); readings (k).
    Eigen::MatrixXd z;
    Eigen::VectorXd oven;
    Eigen::VectorXd meter;
    /// Over all trees.
    Eigen::MatrixXd zz;
    Eigen::VectorXd z_total;
    Eigen::VectorXd z_oven;
    Eigen::VectorXd z_meter;
    double n = 0.0;
    double oven_total = 0.0;
    double meter_total = 0.0;
    double oven_oven = 0.0;
    double oven_meter = 0.0;
    double meter_meter = 0.0;
  };

  int trees_ = 0;
  int slopes_ = 0;
  bool with_meter_ = false;
  std::array<KindSums, kKinds> kinds_;
};

/// What the likelihood is at given variances, whatever the prior of phi: V = covariance of all
/// readings d given phi (fruit of a tree share its effect), X their design rows. Found tree by tree
/// (Woodbury), as in Henderson's mixed model equations with the tree effects absorbed.
class VarianceTerms {
 public:
  explicit VarianceTerms(const TreeSums& sums);

  /// Recomputes everything for these variances. Variances of readings must be > 0 with those of
  /// fruit added.
  void set(const ErrorVariances& variances);

  /// X' V^-1 X (P,P; its lower half only), X' V^-1 d (P), d' V^-1 d, log det V.
  const Eigen::MatrixXd& information() const { return information_; }
  const Eigen::VectorXd& score() const { return score_; }
  double data_square() const { return data_square_; }
  double log_det() const { return log_det_; }

  /// Tree t: effect given phi is N(shrink * (reading - design' phi), shrink).
  double shrink(int tree) const { return shrink_[tree]; }
  double reading(int tree) const { return reading_[tree]; }
  auto design(int tree) const { return design_.col(tree); }

 private:
  using Absorb = void (*)(int trees, double tree_variance, VarianceTerms& terms);

  template <int P>
  static void absorb_trees(int trees, double tree_variance, VarianceTerms& terms);
  template <int... Size>
  static Absorb absorber(int size, std::integer_sequence<int, Size...> sizes);
  void sum_over_fruit();

  struct KindWeights {
    /// Inverse covariance of one fruit's (oven, meter) and sums of its rows.
    double oven_oven = 0.0;
    double oven_meter = 0.0;
    double meter_meter = 0.0;
    double oven_row() const { return oven_oven + oven_meter; }
    double meter_row() const { return meter_meter + oven_meter; }
    double all() const { return oven_row() + meter_row(); }
  };

  const TreeSums& sums_;
  std::array<KindWeights, TreeSums::kKinds> weights_;
  Absorb absorb_;
  Eigen::MatrixXd information_;
  Eigen::VectorXd score_;
  double data_square_ = 0.0;
  double log_det_ = 0.0;
  Eigen::VectorXd shrink_;
  Eigen::VectorXd reading_;
  /// (P,k)
  Eigen::MatrixXd design_;
};

}  // namespace maturity
