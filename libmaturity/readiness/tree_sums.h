#pragma once

#include <Eigen/Core>
#include <array>
#include <cstddef>
#include <utility>
#include <vector>

namespace maturity {

/// Most slopes that the model can carry (8 descriptors and the "has oven" column), most meters
/// (each instrument and setting has a bias of its own), and size of phi.
inline constexpr int kMostSlopes = 9;
inline constexpr int kMostMeters = 4;
inline constexpr int kLargestPhi = 1 + kMostSlopes + kMostMeters;

/// Rows of the model: fruit with their tree, standardised shape and readings (% less the prior
/// mean; NaN = missing).
struct ModelRows {
  /// Tree code 0..k-1 (n).
  std::vector<int> tree;
  /// (n,p)
  Eigen::MatrixXd x;
  std::vector<double> oven;
  std::vector<double> meter;
  /// Readings of further instruments, each list (n).
  std::vector<std::vector<double>> further_meters = {};

  int meters() const { return 1 + static_cast<int>(further_meters.size()); }
  const std::vector<double>& readings_of(int which) const {
    return which == 0 ? meter : further_meters[static_cast<std::size_t>(which - 1)];
  }
};

/// The variances of the model, squared %.
struct ErrorVariances {
  double tree = 0.0;
  double fruit = 0.0;
  double oven = 0.0;
  double meter = 0.0;
  std::array<double, kMostMeters - 1> further_meters{};

  double of_meter(int which) const {
    return which == 0 ? meter : further_meters.at(static_cast<std::size_t>(which - 1));
  }
};

/// Everything that the likelihood needs of the data, summed once by tree and by which readings a
/// fruit has. phi = (level, slopes, bias of each meter), size P = 1 + p + meters.
class TreeSums {
 public:
  /// Throws std::invalid_argument for more than kMostSlopes columns of x or kMostMeters meters.
  explicit TreeSums(const ModelRows& rows);

  int trees() const { return trees_; }
  int slopes() const { return slopes_; }
  /// Up to the last meter that read anything; 0 without readings.
  int meters() const { return meters_; }
  /// P
  int size() const { return 1 + slopes_ + meters_; }

 private:
  friend class VarianceTerms;

  /// Fruit that were read by the same c channels (0: oven, 1 and up: meters).
  struct KindSums {
    std::vector<int> channels;
    /// By tree: sums of (1, x) as columns (1 + p, k); readings (k,c).
    Eigen::MatrixXd z;
    Eigen::MatrixXd reading;
    /// Over all trees; z_reading (1 + p,c), reading_total (c), reading_reading (c,c).
    Eigen::MatrixXd zz;
    Eigen::VectorXd z_total;
    Eigen::MatrixXd z_reading;
    Eigen::VectorXd reading_total;
    Eigen::MatrixXd reading_reading;
    double n = 0.0;
  };

  int trees_ = 0;
  int slopes_ = 0;
  int meters_ = 0;
  /// In the order of the channels as bits: oven alone comes first.
  std::vector<KindSums> kinds_;
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
  void sum_kind(const TreeSums::KindSums& kind);

  /// Inverse covariance of the readings of one fruit, the sums of its rows, and all of it.
  struct KindWeights {
    std::array<std::array<double, 1 + kMostMeters>, 1 + kMostMeters> inverse{};
    std::array<double, 1 + kMostMeters> row{};
    double all = 0.0;
  };

  /// Fills weights_; returns log det of the covariance of one fruit's readings.
  double weigh(const std::vector<int>& channels, const ErrorVariances& variances);

  const TreeSums& sums_;
  KindWeights weights_;
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
