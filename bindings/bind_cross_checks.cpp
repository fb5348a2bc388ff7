#include "bindings/block_question.h"
#include "bindings/intervals.h"
#include "libmaturity/readiness/cross_checks.h"

namespace maturity::bindings {

namespace {

std::vector<Disagreement> all_disagreements() {
  return {Disagreement::clusters, Disagreement::selection, Disagreement::shape, Disagreement::meter,
          Disagreement::few_readings};
}

}  // namespace

template <>
struct Shown<Disagreement> : NamedState<Disagreement, all_disagreements> {};

void bind_cross_checks(py::module_& module) {
  using M = PlainMean;
  Fields<M>(module, "PlainMean", "A mean with its 95 % t interval.")
      .field("mean", &M::mean, "%.")
      .field("se", &M::se, "Its standard error, %.")
      .field("interval", &M::interval, "95 % interval (low, high).")
      .field("fruit", &M::fruit, "Oven fruit behind it.")
      .finish();
  using C = CrossChecks;
  Fields<C> fields(module, "CrossChecks", "Plainer figures beside a block estimate.");
  fields.field("plain_mean", &C::plain_mean, "Mean of the oven fruit; None below 2.")
      .field("tolerance_limit", &C::tolerance_limit,
             "The required share lies above it with the rule's confidence, %.")
      .field("plain_readiness", &C::plain_readiness, "0..100, by the same theory.")
      .field("two_phase_regression", &C::two_phase_regression,
             "Oven on shape, carried to all photographed fruit.")
      .field("disagreements", &C::disagreements, "Why they differ strongly (names).");
  fields.finish().def_property_readonly(
      "disagreement_sentences",
      [](const C& self) {
        std::vector<std::string> texts;
        for (const Disagreement why : self.disagreements) {
          texts.emplace_back(sentence(why));
        }
        return texts;
      },
      "The same in plain sentences.");
  module.def(
      "cross_check",
      [](const BlockQuestion& question, const BlockEstimate& estimate) {
        const py::gil_scoped_release release;
        return cross_check(question.data, question.options, estimate);
      },
      py::arg("question"), py::arg("estimate"),
      "Plain mean, tolerance limit and two-phase regression beside an estimate of the same "
      "question.");
  module.def(
      "cross_check_assumptions",
      [] {
        py::dict dict;
        for (const auto kind : {CrossCheckKind::plain_mean, CrossCheckKind::tolerance_limit,
                                CrossCheckKind::two_phase_regression}) {
          dict[py::str(std::string(name(kind)))] = std::string(assumption(kind));
        }
        return dict;
      },
      "What each takes for granted, by its name.");
}

}  // namespace maturity::bindings
