#include <cstdint>

#include "bindings/bind_walk.h"
#include "bindings/intervals.h"
#include "libmaturity/field/crew_check.h"
#include "libmaturity/field/fruit_mass.h"
#include "libmaturity/field/share_cost.h"

namespace maturity::bindings {

namespace {

std::vector<CannotTell> all_cannot_tell() {
  return {CannotTell::too_few_fruit, CannotTell::one_bin, CannotTell::nobody_to_compare};
}

}  // namespace

template <>
struct Shown<CannotTell> : NamedState<CannotTell, all_cannot_tell> {};

namespace {

void bind_crews(py::module_& module) {
  using B = BinCheck;
  Fields<B>(module, "BinCheck", "One look into one bin.")
      .field("block", &B::block, "Block.")
      .field("method", &B::method, "Picking method.")
      .field("date", &B::date, "Day.")
      .field("crew", &B::crew, "Crew.")
      .field("bin", &B::bin, "Bin; blank: not told apart.")
      .field("checked", &B::checked, "Fruit looked at.")
      .field("found", &B::found, "Of these, with the finding.")
      .finish()
      .def(py::init([](std::string block, std::string method, std::string date, std::string crew,
                       std::string bin, int checked, int found) {
             return B{std::move(block),
                      std::move(method),
                      std::move(date),
                      std::move(crew),
                      std::move(bin),
                      checked,
                      found};
           }),
           py::kw_only(), py::arg("block"), py::arg("method"), py::arg("date"), py::arg("crew"),
           py::arg("bin"), py::arg("checked"), py::arg("found"));
  using S = CrewShare;
  Fields<S> share(module, "CrewShare", "What was found in the fruit of one crew.");
  share.field("crew", &S::crew, "Crew.")
      .field("bins", &S::bins, "Bins looked into.")
      .field("checked", &S::checked, "Fruit looked at.")
      .field("found", &S::found, "Of these, with the finding.")
      .field("share", &S::share, "Share, 0..1.")
      .field("wilson", &S::wilson, "Interval as if fruit were independent.")
      .field("clopper_pearson", &S::clopper_pearson, "The same, exact.")
      .field("interval", &S::interval, "Interval that knows bins: the one to quote.")
      .field("shrunk_share", &S::shrunk_share, "Drawn towards all crews, for ranking only.")
      .field("shrunk_se", &S::shrunk_se, "Its standard error.")
      .field("expected", &S::expected, "What its blocks and methods would have given, fruit.")
      .field("p_value", &S::p_value, "Chance of as large a difference by luck of the bins.")
      .field("differs", &S::differs, "From the other crews; None: cannot tell.")
      .field("reason", &S::reason, "Why it cannot be told (name).");
  share.finish().def_property_readonly(
      "reason_sentence",
      [](const S& self) {
        return self.reason ? std::optional<std::string>(sentence(*self.reason)) : std::nullopt;
      },
      "The same in a sentence.");
  using C = CrewComparison;
  Fields<C>(module, "CrewComparison", "Crews compared within block and method.")
      .field("crews", &C::crews, "In the order of their names.")
      .field("design_effect", &C::design_effect,
             "Variance of bins over that of independent fruit; None: too few bins.")
      .field("by_shuffling", &C::by_shuffling, "Judged by shuffling whole bins.")
      .field("similar_names", &C::similar_names, "Pairs that differ by case or spaces only.")
      .finish();
  module.def(
      "compare_crews",
      [](const std::vector<B>& checks, double level, double false_alarm, int fewest_fruit,
         int shuffles, std::uint64_t seed) {
        const py::gil_scoped_release release;
        return compare_crews(checks, {level, false_alarm, fewest_fruit, shuffles, seed});
      },
      py::arg("checks"), py::kw_only(), py::arg("level") = CrewOptions{}.level,
      py::arg("false_alarm") = CrewOptions{}.false_alarm,
      py::arg("fewest_fruit") = CrewOptions{}.fewest_fruit,
      py::arg("shuffles") = CrewOptions{}.shuffles, py::arg("seed") = CrewOptions{}.seed,
      "Share of a finding in each crew's fruit, and whether it differs from the others.");
}

void bind_cost(py::module_& module) {
  using R = CostRange;
  Fields<R>(module, "CostRange", "A quantity with its interval.")
      .field("value", &R::value, "Value.")
      .field("interval", &R::interval, "(low, high), of the share alone.")
      .finish();
  using C = ShareCost;
  Fields<C>(module, "ShareCost", "What a share of bad fruit costs in a load.")
      .field("fruit", &C::fruit, "Fruit.")
      .field("mass_kg", &C::mass_kg, "kg.")
      .field("trays", &C::trays, "Trays; None: fruit in a tray not given.")
      .field("money", &C::money, "In the user's currency; None: price not given.")
      .finish();
  module.def(
      "cost_of_share",
      [](double share, std::pair<double, double> interval, double fruit, double fruit_mass_g,
         std::optional<double> price_per_kg, std::optional<double> fruit_per_tray) {
        return cost_of_share(share, {interval.first, interval.second},
                             {fruit, fruit_mass_g, price_per_kg, fruit_per_tray});
      },
      py::arg("share"), py::arg("interval"), py::kw_only(), py::arg("fruit"),
      py::arg("fruit_mass_g"), py::arg("price_per_kg"), py::arg("fruit_per_tray"),
      "Fruit, mass, trays and money of a share, its interval carried through.");
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
  bind_crews(module);
  bind_cost(module);
  bind_walk(module);
}

}  // namespace maturity::bindings
