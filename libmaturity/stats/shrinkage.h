#pragma once

#include <optional>
#include <vector>

namespace maturity {

/// One unit (block, crew) drawn towards the common value. For ranking only: a weakly sampled unit
/// borrows from the others and must not pass a decision by it.
struct ShrunkValue {
  /// As measured.
  double raw = 0.0;
  /// Weight of its own value, 0..1.
  double weight = 0.0;
  double value = 0.0;
  /// Parts of the mean squared error: own noise, unknown common value, unknown spread (0 where the
  /// spread was given).
  double own_error = 0.0;
  double common_error = 0.0;
  double spread_error = 0.0;
  /// Square root of own_error + common_error + 2 spread_error.
  double standard_error = 0.0;
};

struct Shrinkage {
  double common_value = 0.0;
  /// Variance between units, squared unit of the values.
  double between_variance = 0.0;
  bool spread_estimated = false;
  std::vector<ShrunkValue> values;
};

/// Area-level shrinkage: w_i = A/(A + psi_i), value_i = w_i y_i + (1 - w_i) mu, mu weighted by
/// 1/(A + psi). `error_variances` psi > 0, as many as values, at least 2. Without a given
/// between_variance A solves sum (y - mu)^2/(A + psi) = k - 1, or is 0 when even A = 0 leaves less.
/// Form: Fay and Herriot as printed in Survey Methodology 12-001-X 2021002 (READ); estimate of A
/// and its error term from memory (Datta, Rao, Smith 2005). Throws std::invalid_argument.
Shrinkage shrink_values(const std::vector<double>& values,
                        const std::vector<double>& error_variances,
                        std::optional<double> between_variance = std::nullopt);

}  // namespace maturity
