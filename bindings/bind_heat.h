#pragma once

#include <pybind11/pybind11.h>

namespace maturity::bindings {

/// Sums of heat units, targets, and the forecast along heat. After the class Forecast.
void bind_heat(pybind11::module_& module);

}  // namespace maturity::bindings
