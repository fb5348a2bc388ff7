#include "bindings/fields.h"
#include "libmaturity/calibration/agreement.h"
#include "libmaturity/calibration/calibration_json.h"
#include "libmaturity/readiness/block_data.h"

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
  module.def(
      "calibration_slopes",
      [](const std::string& text, const std::string& cultivar,
         const std::vector<std::string>& names) {
        const ShapeCalibration c = calibration_from_json(text);
        check_calibration_fits(c, cultivar, names);
        return CalibrationSlopes{
            c.id,         c.names,           c.method_version, c.slopes, c.slopes_covariance,
            c.shape_mean, c.shape_covariance};
      },
      py::arg("text"), py::kw_only(), py::arg("cultivar"), py::arg("names"),
      "Slopes of a stored calibration (JSON text), refused for another cultivar, other descriptors "
      "or another measuring method.");
}

}  // namespace maturity::bindings
