#include "bindings/intervals.h"
#include "libmaturity/picked/double_plan.h"
#include "libmaturity/picked/load_decision.h"
#include "libmaturity/picked/load_plan.h"
#include "libmaturity/picked/nested_tolerance.h"
#include "libmaturity/stats/sampling_plan.h"

namespace maturity::bindings {

namespace {

std::vector<LoadStep> all_load_steps() {
  return {LoadStep::accept, LoadStep::check_more, LoadStep::hold, LoadStep::sort};
}

std::vector<ToleranceState> all_tolerance_states() {
  return {ToleranceState::within, ToleranceState::over, ToleranceState::cannot_tell};
}

}  // namespace

template <>
struct Shown<LoadStep> : NamedState<LoadStep, all_load_steps> {};
template <>
struct Shown<ToleranceState> : NamedState<ToleranceState, all_tolerance_states> {};

namespace {

void bind_plans(py::module_& module) {
  using P = LoadPlan;
  Fields<P>(module, "LoadPlan", "A check that keeps both risks of a rule.")
      .field("n", &P::n, "Fruit to check.")
      .field("accept", &P::accept, "Bad ones allowed.")
      .field("passes_acceptable", &P::passes_acceptable, "Chance to pass at the acceptable share.")
      .field("passes_refused", &P::passes_refused, "Chance to pass at the refused share.")
      .finish();
  module.def(
      "smallest_plan",
      [](double acceptable, double refused, double producer_risk, double consumer_risk,
         std::optional<int> lot, double design_effect) {
        return smallest_plan({acceptable, refused, producer_risk, consumer_risk},
                             {lot, design_effect});
      },
      py::kw_only(), py::arg("acceptable"), py::arg("refused"),
      py::arg("producer_risk") = LoadRule{}.producer_risk,
      py::arg("consumer_risk") = LoadRule{}.consumer_risk, py::arg("lot") = py::none(),
      py::arg("design_effect") = 1.0,
      "The smallest check that keeps both risks; None: no reasonable number.");
  module.def("share_passed_with", &share_passed_with, py::arg("n"), py::arg("accept"),
             py::arg("chance"), py::arg("design_effect") = 1.0,
             "Share of bad fruit at which a check passes with this chance.");
  module.def(
      "chance_to_pass",
      [](int n, int accept, double share, double design_effect) {
        return chance_to_pass(n, accept, share, {std::nullopt, design_effect});
      },
      py::arg("n"), py::arg("accept"), py::arg("share"), py::kw_only(),
      py::arg("design_effect") = 1.0,
      "Chance that a check passes a very large load with this share of bad fruit.");
  module.def(
      "code_letter", [](int lot, int level) { return std::string(1, code_letter(lot, level)); },
      py::arg("lot"), py::kw_only(), py::arg("level") = 2,
      "Code letter of the published tables for a lot of 2 to 35000.");
  using S = SamplingPlan;
  Fields<S>(module, "SamplingPlan", "A single check of the published tables.")
      .field("n", &S::n, "Fruit to check.")
      .field("accept", &S::accept, "Bad ones allowed.")
      .field("followed_arrow", &S::followed_arrow, "The table sends this letter to another row.")
      .finish();
  module.def(
      "single_plan",
      [](const std::string& letter, double acceptable_pct) {
        return single_plan(letter.size() == 1 ? letter.front() : '?', acceptable_pct);
      },
      py::arg("letter"), py::kw_only(), py::arg("acceptable_pct"),
      "Normal single plan; None: not in the table as read.");
  using D = DoublePlan;
  Fields<D>(module, "DoublePlan", "A check in two steps.")
      .field("first", &D::first, "Fruit of the first step.")
      .field("accept_first", &D::accept_first, "Accept at once up to so many bad ones.")
      .field("reject_first", &D::reject_first, "Refuse at once from so many.")
      .field("second", &D::second, "Else so many fruit more.")
      .field("accept_total", &D::accept_total, "Accept up to so many bad ones in both.")
      .finish()
      .def(
          py::init([](int first, int accept_first, int reject_first, int second, int accept_total) {
            return D{first, accept_first, reject_first, second, accept_total};
          }),
          py::kw_only(), py::arg("first"), py::arg("accept_first"), py::arg("reject_first"),
          py::arg("second"), py::arg("accept_total"));
  module.def(
      "double_plan",
      [](const std::string& letter, double acceptable_pct) {
        return double_plan(letter.size() == 1 ? letter.front() : '?', acceptable_pct);
      },
      py::arg("letter"), py::kw_only(), py::arg("acceptable_pct"),
      "Normal double plan (from memory); None: there is none.");
  module.def(
      "double_acceptance",
      [](const D& plan, double share) {
        const DoubleOutcome outcome = double_acceptance(plan, share);
        return py::make_tuple(outcome.acceptance, outcome.expected_fruit);
      },
      py::arg("plan"), py::arg("share"), "(chance to pass, fruit checked on average).");
}

void bind_decision(py::module_& module) {
  using L = LoadDecision;
  Fields<L>(module, "LoadDecision", "Next step for a load.")
      .field("step", &L::step, "accept, check_more, hold or sort.")
      .field("share", &L::share, "Share found, 0..1.")
      .field("interval", &L::interval, "Exact 95 % interval.")
      .field("chance_if_refused", &L::chance_if_refused,
             "Chance of so few in a load at the refused share.")
      .field("chance_if_acceptable", &L::chance_if_acceptable,
             "Chance of so many in a load at the acceptable share.")
      .field("more", &L::more, "Fruit to check further.")
      .field("accept_total", &L::accept_total, "Bad ones then allowed in all.")
      .finish();
  module.def(
      "decide_load",
      [](int checked, int found, double acceptable, double refused, double producer_risk,
         double consumer_risk, std::optional<int> lot, double design_effect) {
        return decide_load({checked, found, lot, design_effect},
                           {acceptable, refused, producer_risk, consumer_risk});
      },
      py::arg("checked"), py::arg("found"), py::kw_only(), py::arg("acceptable"),
      py::arg("refused"), py::arg("producer_risk") = LoadRule{}.producer_risk,
      py::arg("consumer_risk") = LoadRule{}.consumer_risk, py::arg("lot") = py::none(),
      py::arg("design_effect") = 1.0, "Accept, check more, hold or sort a load.");
}

void bind_tolerances(py::module_& module) {
  using T = ToleranceCheck;
  Fields<T>(module, "ToleranceCheck", "One tolerance against what was found.")
      .field("what", &T::what, "What it limits.")
      .field("found", &T::found, "Fruit.")
      .field("share", &T::share, "Share found, 0..1.")
      .field("limit", &T::limit, "Highest share allowed.")
      .field("met_in_sample", &T::met_in_sample, "By the count in the sample.")
      .field("interval", &T::interval, "Exact interval of the load's share.")
      .field("state", &T::state, "within, over or cannot_tell.")
      .finish();
  using N = NestedTolerances;
  Fields<N>(module, "NestedTolerances", "Tolerances inside one another.")
      .field("checks", &N::checks, "From the widest to the narrowest.")
      .field("met_in_sample", &N::met_in_sample, "Every one, by count.")
      .field("state", &N::state, "within, over or cannot_tell.")
      .finish();
  module.def(
      "check_nested_tolerances",
      [](int checked, const std::vector<std::tuple<std::string, int, double>>& tolerances,
         double level, double design_effect) {
        std::vector<Tolerance> given;
        given.reserve(tolerances.size());
        for (const auto& [what, found, limit] : tolerances) {
          given.push_back({what, found, limit});
        }
        return check_nested_tolerances(checked, given, level, design_effect);
      },
      py::arg("checked"), py::arg("tolerances"), py::kw_only(), py::arg("level") = 0.95,
      py::arg("design_effect") = 1.0,
      "(what, found, limit) from the widest to the narrowest, against the fruit checked.");
}

}  // namespace

void bind_loads(py::module_& module) {
  bind_plans(module);
  bind_decision(module);
  bind_tolerances(module);
}

}  // namespace maturity::bindings
