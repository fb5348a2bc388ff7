#pragma once

#include <pybind11/pybind11.h>

namespace maturity::bindings {

/// The walk: trees, rows, size, looks, results.
void bind_walk(pybind11::module_& module);

}  // namespace maturity::bindings
