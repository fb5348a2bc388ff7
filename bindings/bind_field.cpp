#include <cstdint>

#include "bindings/bind_walk.h"
#include "bindings/intervals.h"
#include "libmaturity/field/fruit_mass.h"

namespace maturity::bindings {

namespace {

void bind_mass(py::module_& module) {
  using M = FruitMass;
  Fields<M>(module, "FruitMass", "A mass with its error.")
      .field("mass_g", &M::mass_g, "g.")
      .field("error_sd_g", &M::error_sd_g, "Standard deviation of its error, g.")
      .finish();
  module.def("estimate_fruit_mass", &estimate_fruit_mass, py::arg("length_mm"), py::arg("width_mm"),
             py::arg("thickness_mm"), py::arg("length_sd_mm") = 0.0, py::arg("width_sd_mm") = 0.0,
             py::arg("thickness_sd_mm") = 0.0,
             "Mass from size, mm; a single fruit is known to some 60 g either way.");
}

}  // namespace

void bind_field(py::module_& module) {
  bind_mass(module);
  bind_walk(module);
}

}  // namespace maturity::bindings
