#include "tests/readiness/dense_twin.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <map>
#include <utility>

namespace maturity::cases {

namespace {

constexpr double kLevel = 16.0;

/// One reading: which fruit, by the oven (0) or which meter (from 1).
struct Reading {
  Eigen::Index fruit;
  int channel;
  double value;
};

struct Node {
  double log_weight;
  double level;
  double level_var;
  double spread;
  double spread_var;
  double covariance;
  std::vector<TwinFruit> fruit;
};

class Twin {
 public:
  Twin(const BlockData& data, const Twist& twist) : twist_(twist) {
    n_ = static_cast<Eigen::Index>(data.tree.size());
    p_ = data.shape.cols();
    for (const std::string& label : data.tree) {
      tree_.push_back(codes_.emplace(label, static_cast<int>(codes_.size())).first->second);
    }
    for (Eigen::Index i = 0; i < n_; ++i) {
      const auto at = static_cast<std::size_t>(i);
      if (!std::isnan(data.oven[at])) {
        readings_.push_back({i, 0, data.oven[at] - kLevel});
      }
      if (!std::isnan(data.meter[at])) {
        readings_.push_back({i, 1, data.meter[at] - kLevel});
        metered_ = true;
      }
      for (std::size_t m = 0; m < data.further_meters.size(); ++m) {
        const double value = data.further_meters[m].dm_pct[at];
        if (!std::isnan(value)) {
          readings_.push_back({i, 2 + static_cast<int>(m), value - kLevel});
          metered_ = true;
        }
      }
    }
    error_.assign(1, {1.0, 0.2});
    for (const FurtherMeter& one : data.further_meters) {
      error_.emplace_back(one.sep_pct.value_or(1.0),
                          one.sep_n ? 1.0 / std::sqrt(2.0 * (*one.sep_n - 1.0)) : 0.2);
    }
    biases_ = twist.meters_as_one ? 1 : static_cast<Eigen::Index>(error_.size());
    x_ = data.shape;
    if (p_ > 0) {
      x_.rowwise() -= x_.colwise().mean().eval();
      for (Eigen::Index j = 0; j < p_; ++j) {
        x_.col(j) /= std::sqrt(x_.col(j).squaredNorm() / static_cast<double>(n_ - 1));
      }
    }
    sigma_x_ = x_.transpose() * x_ / static_cast<double>(n_ - 1);
    mean_cov_ = Eigen::MatrixXd::Zero(p_, p_);
    const auto k = static_cast<double>(codes_.size());
    for (int t = 0; t < static_cast<int>(k); ++t) {
      Eigen::VectorXd sum = Eigen::VectorXd::Zero(p_);
      for (Eigen::Index i = 0; i < n_; ++i) {
        if (tree_[static_cast<std::size_t>(i)] == t) {
          sum += x_.row(i).transpose();
        }
      }
      mean_cov_ += sum * sum.transpose();
    }
    const double g = k >= 5.0 ? (k - 1.0) / (k - 3.0) : 2.0;
    mean_cov_ *= k / (k - 1.0) * g / static_cast<double>(n_ * n_);
    if (twist_.forget_sampling_of_shape) {
      mean_cov_.setZero();
    }
  }

  std::vector<Node> nodes() {
    std::vector<Node> all;
    const std::vector<double> explained =
        p_ == 0 ? std::vector<double>{0.0} : std::vector<double>{0.0, 0.15, 0.35, 0.55, 0.75};
    const std::vector<double> weight =
        p_ == 0 ? std::vector<double>{1.0} : std::vector<double>{0.3, 0.2, 0.2, 0.2, 0.1};
    for (int a = 0; a < 33; ++a) {
      const double log_sigma = std::log(0.3) + a * std::log(16.0) / 32.0;
      for (int j = 0; j < 10; ++j) {
        const double rho = 0.8 * (j + 0.5) / 10.0;
        for (int u = metered_ ? -3 : 0; u <= (metered_ ? 3 : 0); ++u) {
          for (std::size_t r = 0; r < explained.size(); ++r) {
            const double prior = -0.5 * std::pow((log_sigma - std::log(1.3)) / 0.5, 2) +
                                 0.5 * std::log(rho) + 3.0 * std::log(1.0 - rho) -
                                 0.5 * std::pow(0.8 * u, 2) + std::log(weight[r]);
            all.push_back(solve(std::exp(log_sigma), rho, 0.8 * u, explained[r]));
            all.back().log_weight += prior;
          }
        }
      }
    }
    return all;
  }

 private:
  Eigen::VectorXd design(Eigen::Index fruit, int channel) const {
    Eigen::VectorXd row = Eigen::VectorXd::Zero(1 + p_ + biases_);
    row[0] = 1.0;
    row.segment(1, p_) = x_.row(fruit).transpose();
    if (channel > 0) {
      row[p_ + std::min<Eigen::Index>(channel, biases_)] = 1.0;
    }
    return row;
  }

  bool same_tree(Eigen::Index a, Eigen::Index b) const {
    return tree_[static_cast<std::size_t>(a)] == tree_[static_cast<std::size_t>(b)];
  }

  Node solve(double sigma, double rho, double step, double explained) const {
    const double sa2 = twist_.ignore_trees ? 0.0 : rho * sigma * sigma;
    const double se2 = sigma * sigma - sa2;
    Eigen::MatrixXd prior = Eigen::MatrixXd::Zero(1 + p_ + biases_, 1 + p_ + biases_);
    prior(0, 0) = 25.0;
    for (Eigen::Index j = 0; j < p_; ++j) {
      prior(1 + j, 1 + j) =
          std::max(1e-8, explained / ((1.0 - explained) * static_cast<double>(p_))) * sigma * sigma;
    }
    for (Eigen::Index b = 0; b < biases_; ++b) {
      prior(1 + p_ + b, 1 + p_ + b) = twist_.meter_is_truth ? 0.0 : 2.25;
    }

    const auto m = static_cast<Eigen::Index>(readings_.size());
    Eigen::MatrixXd x(m, 1 + p_ + biases_);
    Eigen::VectorXd d(m);
    Eigen::MatrixXd v(m, m);
    for (Eigen::Index i = 0; i < m; ++i) {
      const Reading& a = readings_[static_cast<std::size_t>(i)];
      x.row(i) = design(a.fruit, a.channel).transpose();
      d[i] = a.value;
      for (Eigen::Index j = 0; j < m; ++j) {
        const Reading& b = readings_[static_cast<std::size_t>(j)];
        v(i, j) = (same_tree(a.fruit, b.fruit) ? sa2 : 0.0) + (a.fruit == b.fruit ? se2 : 0.0);
      }
      double sd = 0.15;
      if (a.channel > 0) {
        const auto& [guess, log_sd] = error_[static_cast<std::size_t>(a.channel - 1)];
        sd = guess * std::exp(log_sd * step);
      }
      v(i, i) += sd * sd;
    }
    v += x * prior * x.transpose();
    const Eigen::LLT<Eigen::MatrixXd> factor(v);
    const Eigen::VectorXd solved = factor.solve(d);
    const Eigen::MatrixXd carried = prior * x.transpose();
    const Eigen::VectorXd phi = carried * solved;
    const Eigen::MatrixXd cov = prior - carried * factor.solve(carried.transpose());

    Node node{};
    node.log_weight =
        -0.5 * d.dot(solved) - Eigen::MatrixXd(factor.matrixL()).diagonal().array().log().sum();
    const Eigen::VectorXd beta = phi.segment(1, p_);
    const Eigen::MatrixXd vb = cov.block(1, 1, p_, p_);
    const double quad =
        twist_.forget_slopes_in_spread ? 0.0 : beta.dot(sigma_x_ * beta) + (vb * sigma_x_).trace();
    const double total = sigma * sigma + quad;
    const Eigen::VectorXd w = sigma_x_ * beta;
    node.level = phi[0] + kLevel;
    node.level_var = cov(0, 0) + beta.dot(mean_cov_ * beta) + (mean_cov_ * vb).trace();
    node.spread_var = w.dot(vb * w) / total + quad * quad / (2.0 * total * double(n_ - 1));
    node.spread = std::sqrt(total) - node.spread_var / (2.0 * std::sqrt(total));
    node.covariance = cov.row(0).segment(1, p_).dot(w) / std::sqrt(total);

    for (Eigen::Index i = 0; i < n_; ++i) {
      const Eigen::VectorXd row = design(i, 0);
      Eigen::VectorXd with(m);
      for (Eigen::Index j = 0; j < m; ++j) {
        const Reading& b = readings_[static_cast<std::size_t>(j)];
        with[j] = row.dot(prior * x.row(j).transpose()) + (same_tree(i, b.fruit) ? sa2 : 0.0) +
                  (i == b.fruit ? se2 : 0.0);
      }
      const double variance = row.dot(prior * row) + sa2 + se2 - with.dot(factor.solve(with));
      node.fruit.push_back({kLevel + with.dot(solved), std::sqrt(variance)});
    }
    return node;
  }

  Twist twist_;
  Eigen::Index n_ = 0;
  Eigen::Index p_ = 0;
  bool metered_ = false;
  /// Guess of each meter's error SD and SD of its logarithm.
  std::vector<std::pair<double, double>> error_;
  Eigen::Index biases_ = 1;
  std::map<std::string, int> codes_;
  std::vector<int> tree_;
  std::vector<Reading> readings_;
  Eigen::MatrixXd x_;
  Eigen::MatrixXd sigma_x_;
  Eigen::MatrixXd mean_cov_;
};

}  // namespace

TwinResult dense_twin(const BlockData& data, double minimum, double share_z, const Twist& twist) {
  const std::vector<Node> nodes = Twin(data, twist).nodes();
  double best = nodes.front().log_weight;
  for (const Node& node : nodes) {
    best = std::max(best, node.log_weight);
  }
  TwinResult result;
  result.fruit.resize(data.tree.size());
  std::vector<double> fruit_square(data.tree.size());
  double total = 0.0;
  double square = 0.0;
  double heavy = 0.0;
  for (const Node& node : nodes) {
    const double w = std::exp(node.log_weight - best);
    total += w;
    result.mean += w * node.level;
    square += w * (node.level_var + node.level * node.level);
    result.spread += w * node.spread;
    const double variance =
        node.level_var - 2.0 * share_z * node.covariance + share_z * share_z * node.spread_var;
    const double z = (node.level - share_z * node.spread - minimum) / std::sqrt(variance);
    result.readiness += w * 0.5 * std::erfc(-z / std::sqrt(2.0));
    if (w >= 1e-3) {
      heavy += w;
      for (std::size_t i = 0; i < fruit_square.size(); ++i) {
        const TwinFruit& fruit = node.fruit[i];
        result.fruit[i].mean += w * fruit.mean;
        fruit_square[i] += w * (fruit.sd * fruit.sd + fruit.mean * fruit.mean);
      }
    }
  }
  result.mean /= total;
  result.sd = std::sqrt(square / total - result.mean * result.mean);
  result.readiness /= total;
  result.spread /= total;
  for (std::size_t i = 0; i < fruit_square.size(); ++i) {
    result.fruit[i].mean /= heavy;
    result.fruit[i].sd =
        std::sqrt(fruit_square[i] / heavy - result.fruit[i].mean * result.fruit[i].mean);
  }
  return result;
}

}  // namespace maturity::cases
