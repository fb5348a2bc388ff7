#include "bindings/block_question.h"
#include "bindings/intervals.h"
#include "libmaturity/readiness/shape_sorting.h"

namespace maturity::bindings {

void bind_shape_sorting(py::module_& module) {
  Fields<ShareRange>(module, "ShareRange", "A share 0..1: median and 95 % interval (low, high).")
      .field("median", &ShareRange::median, "Posterior median, 0..1.")
      .field("interval", &ShareRange::interval, "95 % interval (low, high).")
      .finish();
  using C = ShapeCut;
  Fields<C>(module, "ShapeCut", "What comes of taking every fruit whose shape predicts so much.")
      .field("cut_dm_pct", &C::cut_dm_pct, "Least dry matter predicted by shape, %.")
      .field("taken", &C::taken, "Share of the crop taken, 0..1.")
      .field("taken_interval", &C::taken_interval, "95 % interval (low, high).")
      .field("immature_taken", &C::immature_taken, "Share below the minimum among those taken.")
      .field("immature_blind", &C::immature_blind, "The same share without looking.")
      .finish();
  using S = ShapeSorting;
  Fields<S>(module, "ShapeSorting", "How well the outline alone parts the fruit of a block.")
      .field("shape_dm_pct", &S::shape_dm_pct,
             "Dry matter that each fruit's shape alone predicts, %; None: no usable shape.")
      .field("correlation", &S::correlation, "Of that prediction with true dry matter.")
      .field("correlation_interval", &S::correlation_interval, "95 % interval (low, high).")
      .field("p_useful", &S::p_useful, "Probability that the correlation is worth teaching.")
      .field("cuts", &S::cuts, "One ShapeCut for each cut asked for.")
      .finish();
  module.attr("USEFUL_CORRELATION") = kUsefulCorrelation;
  module.def(
      "sort_by_shape",
      [](const BlockQuestion& question, const std::vector<double>& cuts) {
        const py::gil_scoped_release release;
        return sort_by_shape(question.data, question.rule, question.options, cuts);
      },
      py::arg("question"), py::arg("cuts"),
      "What taking fruit by their shape would bring in this block, at each cut (% dry matter).");
}

}  // namespace maturity::bindings
