#include "bindings/fields.h"
#include "libmaturity/calibration/agreement.h"

namespace maturity::bindings {

template <>
struct Shown<Bounds> {
  static py::object out(const Bounds& bounds) { return py::make_tuple(bounds.low, bounds.high); }
  static Bounds in(py::handle shown) {
    const auto [low, high] = shown.cast<std::pair<double, double>>();
    return {low, high};
  }
};

void bind_calibration(py::module_& module) {
  using A = Agreement;
  Fields<A>(module, "Agreement",
            "How predictions agree with a reference; error = predicted - reference.")
      .field("pairs", &A::pairs, "Pairs used.")
      .field("left_out", &A::left_out, "Pairs with a missing value.")
      .field("bias", &A::bias, "Mean error: positive reads too high.")
      .field("bias_interval", &A::bias_interval, "95 % interval (low, high).")
      .field("bias_limit", &A::bias_limit, "Largest bias that chance explains, 95 %.")
      .field("bias_significant", &A::bias_significant, "Bias beyond that limit.")
      .field("rmsep", &A::rmsep, "Root mean squared error, bias included.")
      .field("sep", &A::sep, "Standard deviation of the error, bias taken out.")
      .field("sep_interval", &A::sep_interval, "95 % interval (low, high).")
      .field("slope", &A::slope, "Of the reference on the predicted values.")
      .field("intercept", &A::intercept, "Of the same line.")
      .field("slope_interval", &A::slope_interval, "95 % interval (low, high).")
      .field("residual_sd", &A::residual_sd, "About that line.")
      .field("slope_t", &A::slope_t, "|slope - 1| over its standard error.")
      .field("slope_t_limit", &A::slope_t_limit, "Its 97.5 % t quantile.")
      .field("slope_significant", &A::slope_significant, "Slope differs from 1.")
      .field("r_squared", &A::r_squared, "Squared correlation.")
      .field("r_squared_interval", &A::r_squared_interval, "95 % interval (low, high).")
      .field("r_squared_identity", &A::r_squared_identity, "1 - SSE/SST; can be negative.")
      .field("reference_sd", &A::reference_sd, "Standard deviation of the reference.")
      .field("rpd_sep", &A::rpd_sep, "reference_sd / sep.")
      .field("rpd_rmsep", &A::rpd_rmsep, "reference_sd / rmsep.")
      .finish();
  module.def("agreement", &agreement, py::arg("reference"), py::arg("predicted"),
             "See maturity.agreement.");
}

}  // namespace maturity::bindings
