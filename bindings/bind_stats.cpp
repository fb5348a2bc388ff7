#include "bindings/fields.h"
#include "libmaturity/stats/acceptance.h"
#include "libmaturity/stats/proportion.h"
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
}

}  // namespace maturity::bindings
