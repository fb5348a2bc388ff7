#include <pybind11/pybind11.h>

#include <system_error>

namespace py = pybind11;

namespace maturity::bindings {
void bind_core(py::module_& module);
void bind_stats(py::module_& module);
void bind_drymatter(py::module_& module);
void bind_board(py::module_& module);
void bind_descriptors(py::module_& module);
void bind_calibration(py::module_& module);
void bind_readiness(py::module_& module);
void bind_block_question(py::module_& module);
void bind_cross_checks(py::module_& module);
void bind_shape_sorting(py::module_& module);
void bind_flowerings(py::module_& module);
void bind_forecast(py::module_& module);
void bind_field(py::module_& module);
void bind_picked(py::module_& module);
void bind_loads(py::module_& module);
void bind_pipeline(py::module_& module);
}  // namespace maturity::bindings

PYBIND11_MODULE(_core, module) {
  using namespace maturity::bindings;
  module.doc() = "The C++ library libmaturity; use it through the package maturity.";
  py::register_exception_translator(
      [](std::exception_ptr pointer) {  // NOLINT(performance-unnecessary-value-param):
                                        // its type asks so
        try {
          if (pointer) {
            std::rethrow_exception(pointer);
          }
        } catch (const std::system_error& error) {
          PyErr_SetString(PyExc_OSError, error.what());
        }
      });
  bind_core(module);
#ifdef MATURITY_BINDS_stats
  bind_stats(module);
#endif
#ifdef MATURITY_BINDS_drymatter
  bind_drymatter(module);
#endif
#ifdef MATURITY_BINDS_board
  bind_board(module);
#endif
#ifdef MATURITY_BINDS_descriptors
  bind_descriptors(module);
#endif
#ifdef MATURITY_BINDS_readiness
  bind_block_question(module);
  bind_readiness(module);
  bind_cross_checks(module);
  bind_shape_sorting(module);
  bind_flowerings(module);
#endif
// After readiness, whose slopes it hands out.
#ifdef MATURITY_BINDS_calibration
  bind_calibration(module);
#endif
#ifdef MATURITY_BINDS_forecast
  bind_forecast(module);
#endif
#ifdef MATURITY_BINDS_field
  bind_field(module);
#endif
#ifdef MATURITY_BINDS_picked
  bind_picked(module);
  bind_loads(module);
#endif
#ifdef MATURITY_BINDS_pipeline
  bind_pipeline(module);
#endif
}
