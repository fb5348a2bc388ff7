#include "bindings/intervals.h"
#include "libmaturity/stats/acceptance.h"
#include "libmaturity/stats/control_chart.h"
#include "libmaturity/stats/proportion.h"
#include "libmaturity/stats/shrinkage.h"
#include "libmaturity/stats/tolerance_limit.h"

namespace maturity::bindings {

namespace {

ProportionMethod proportion_method_named(const std::string& text) {
  if (text == "wilson") {
    return ProportionMethod::wilson;
  }
  if (text == "clopper-pearson") {
    return ProportionMethod::clopper_pearson;
  }
  throw py::value_error("method: " + text + " is not one of wilson, clopper-pearson");
}

}  // namespace

void bind_stats(py::module_& module) {
  module.def(
      "proportion_interval",
      [](double count, double n, double level, const std::string& method) {
        const Bounds bounds = proportion_interval(count, n, level, proportion_method_named(method));
        return py::make_tuple(bounds.low, bounds.high);
      },
      py::arg("count"), py::arg("n"), py::kw_only(), py::arg("level"), py::arg("method"),
      "See maturity.proportion_interval.");
  module.def("tolerance_factor", &tolerance_factor, py::arg("n"), py::kw_only(), py::arg("share"),
             py::arg("confidence"), "See maturity.tolerance_factor.");
  module.def("acceptance_probability", &acceptance_probability, py::arg("n"), py::arg("accept"),
             py::arg("share"), py::kw_only(), py::arg("lot"),
             "See maturity.acceptance_probability.");
  using S = ShrunkValue;
  Fields<S>(module, "ShrunkValue", "One unit drawn towards the common value; for ranking only.")
      .field("raw", &S::raw, "As measured.")
      .field("weight", &S::weight, "Weight of its own value, 0..1.")
      .field("value", &S::value, "Drawn towards the common value.")
      .field("own_error", &S::own_error, "Part of the mean squared error: own noise.")
      .field("common_error", &S::common_error, "Part: common value unknown.")
      .field("spread_error", &S::spread_error, "Part: spread between units unknown.")
      .field("standard_error", &S::standard_error, "Of `value`.")
      .finish();
  Fields<Shrinkage>(module, "Shrinkage", "Units drawn together.")
      .field("common_value", &Shrinkage::common_value, "What they are drawn to.")
      .field("between_variance", &Shrinkage::between_variance, "Variance between units.")
      .field("spread_estimated", &Shrinkage::spread_estimated, "It was estimated, not given.")
      .field("values", &Shrinkage::values, "In the order given.")
      .finish();
  module.def("shrink_values", &shrink_values, py::arg("values"), py::arg("error_variances"),
             py::arg("between_variance") = py::none(),
             "Area-level shrinkage; see maturity.pool_blocks.");
  using P = ChartPoint;
  Fields<P>(module, "ChartPoint", "One sample of a p-chart.")
      .field("share", &P::share, "Share, 0..1.")
      .field("limits", &P::limits, "(low, high), three sigma.")
      .field("above", &P::above, "Beyond the upper limit.")
      .field("below", &P::below, "Beyond the lower limit.")
      .finish();
  Fields<PChart>(module, "PChart", "Shares over samples of unequal size.")
      .field("centre", &PChart::centre, "Centre line, 0..1.")
      .field("points", &PChart::points, "In the order given.")
      .finish();
  module.def("p_chart", &p_chart, py::arg("count"), py::arg("checked"), py::kw_only(),
             py::arg("centre"), py::arg("design_effect"),
             "Limits that tell a day beyond chance, by its number checked.");
}

}  // namespace maturity::bindings
