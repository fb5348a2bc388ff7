#include <cstdint>

#include "bindings/intervals.h"
#include "libmaturity/picked/contact_time.h"
#include "libmaturity/picked/crew_check.h"
#include "libmaturity/picked/finding.h"
#include "libmaturity/picked/outlying_bins.h"
#include "libmaturity/picked/share_cost.h"
#include "libmaturity/picked/two_looks.h"

namespace maturity::bindings {

namespace {

std::vector<CannotTell> all_cannot_tell() {
  return {CannotTell::too_few_fruit, CannotTell::one_bin,       CannotTell::nobody_to_compare,
          CannotTell::other_days,    CannotTell::bins_not_told, CannotTell::days_not_told};
}

std::vector<ComparedBy> all_ways() {
  return {ComparedBy::shuffled_bins, ComparedBy::bin_spread, ComparedBy::assumed_spread};
}

}  // namespace

template <>
struct Shown<CannotTell> : NamedState<CannotTell, all_cannot_tell> {};
template <>
struct Shown<ComparedBy> : NamedState<ComparedBy, all_ways> {};

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
      .field("shrunk_share", &S::shrunk_share,
             "Drawn towards all crews, for ranking only; None over several blocks or methods.")
      .field("shrunk_se", &S::shrunk_se, "Its standard error.")
      .field("expected", &S::expected, "What its blocks, methods, days would have given, fruit.")
      .field("own_share", &S::own_share,
             "Share over blocks, methods and days shared with others: what is compared.")
      .field("own_checked", &S::own_checked, "Fruit looked at there.")
      .field("others_share", &S::others_share,
             "Share of the other crews in the same blocks, methods and days.")
      .field("own_days", &S::own_days, "Days shared with others.")
      .field("days_above", &S::days_above, "Those on which its share was above theirs.")
      .field("days_below", &S::days_below, "And below.")
      .field("p_value", &S::p_value, "Chance of as large a difference by luck of the bins.")
      .field("differs", &S::differs, "From the other crews; None: cannot tell.")
      .field("reason", &S::reason, "Why it cannot be told (name).");
  share.finish().def_property_readonly(
      "reason_sentence",
      [](const S& self) {
        return self.reason ? std::optional<std::string>(sentence(*self.reason)) : std::nullopt;
      },
      "The same in a sentence.");
  using W = WholeShare;
  Fields<W>(module, "WholeShare", "All crews together.")
      .field("bins", &W::bins, "Bins looked into.")
      .field("checked", &W::checked, "Fruit looked at.")
      .field("found", &W::found, "Of these, with the finding.")
      .field("share", &W::share, "Share, 0..1.")
      .field("interval", &W::interval, "Interval that knows bins.")
      .finish();
  using C = CrewComparison;
  Fields<C>(module, "CrewComparison", "Crews compared within block, method and day.")
      .field("crews", &C::crews, "In the order of their names.")
      .field("whole", &C::whole, "All crews together; None: nothing checked.")
      .field("design_effect", &C::design_effect,
             "Variance of bins over that of independent fruit; None: too few bins.")
      .field("spare_bins", &C::spare_bins, "Bins beyond one per crew, block, method and day.")
      .field("compared_by", &C::compared_by, "How a difference was told from chance (name).")
      .field("similar_names", &C::similar_names, "Pairs that differ by case or spaces only.")
      .finish();
  module.def(
      "clustered_interval",
      [](double found, double checked, double design_effect, int spare_bins, double level) {
        const Bounds made = clustered_interval(found, checked, design_effect, spare_bins, level);
        return std::pair(made.low, made.high);
      },
      py::arg("found"), py::arg("checked"), py::kw_only(), py::arg("design_effect"),
      py::arg("spare_bins"), py::arg("level") = 0.95, "Wilson's interval that knows bins.");
  module.attr("ASSUMED_INTRACLASS") = CrewOptions{}.assumed_intraclass;
  module.def(
      "compare_crews",
      [](const std::vector<B>& checks, double level, double false_alarm, int fewest_fruit,
         int shuffles, std::uint64_t seed, double assumed_intraclass) {
        const py::gil_scoped_release release;
        return compare_crews(
            checks, {level, false_alarm, fewest_fruit, shuffles, seed, assumed_intraclass});
      },
      py::arg("checks"), py::kw_only(), py::arg("level") = CrewOptions{}.level,
      py::arg("false_alarm") = CrewOptions{}.false_alarm,
      py::arg("fewest_fruit") = CrewOptions{}.fewest_fruit,
      py::arg("shuffles") = CrewOptions{}.shuffles, py::arg("seed") = CrewOptions{}.seed,
      py::arg("assumed_intraclass") = CrewOptions{}.assumed_intraclass,
      "Share of a finding in each crew's fruit, and whether it differs from the others.");
}

void bind_bins(py::module_& module) {
  using B = BinOutcome;
  Fields<B>(module, "BinOutcome", "One bin beside the others of its block, method and day.")
      .field("share", &B::share, "Share, 0..1.")
      .field("interval", &B::interval, "Exact interval.")
      .field("others_share", &B::others_share, "Share of the other bins; None: there are none.")
      .field("p_value", &B::p_value, "Chance of as many in any of the bins.")
      .field("stands_out", &B::stands_out, "More than chance; None: no other bin.")
      .finish();
  module.def(
      "outlying_bins",
      [](const std::vector<BinCheck>& checks, double level, double false_alarm) {
        const py::gil_scoped_release release;
        return outlying_bins(checks, level, false_alarm);
      },
      py::arg("checks"), py::kw_only(), py::arg("level") = 0.95, py::arg("false_alarm") = 0.05,
      "Bins with more of a finding than the others of their block, method and day.");
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
}

void bind_damage(py::module_& module) {
  using F = Finding;
  module.def(
      "picked_findings",
      [] {
        py::list all;
        for (const F& each : findings()) {
          all.append(py::dict(py::arg("name") = each.name, py::arg("kind") = name(each.kind),
                              py::arg("late") = each.late, py::arg("cause") = each.cause,
                              py::arg("at_tree") = each.at_tree, py::arg("at_mat") = each.at_mat,
                              py::arg("in_bin") = each.in_bin, py::arg("in_shed") = each.in_shed,
                              py::arg("source") = each.source));
        }
        return all;
      },
      "What usually causes each finding and what to change, as dicts.");
  using L = LateDamage;
  Fields<L>(module, "LateDamage", "The share after holding less the share on arrival.")
      .field("difference", &L::difference, "Difference of the shares.")
      .field("interval", &L::interval, "(low, high).")
      .field("rose", &L::rose, "More after holding; None: too few fruit.")
      .finish();
  module.def(
      "compare_looks",
      [](std::pair<double, double> arrival, std::pair<double, double> held, double level,
         int comparisons, double design_effect) {
        LateOptions options;
        options.level = level;
        options.comparisons = comparisons;
        options.design_effect = design_effect;
        return compare_looks({arrival.first, arrival.second}, {held.first, held.second}, options);
      },
      py::arg("arrival"), py::arg("held"), py::kw_only(), py::arg("level") = LateOptions{}.level,
      py::arg("comparisons") = LateOptions{}.comparisons,
      py::arg("design_effect") = LateOptions{}.design_effect,
      "(found, checked) on arrival and after holding: what shows late.");
}

void bind_timings(py::module_& module) {
  using T = TimingSummary;
  Fields<T>(module, "TimingSummary", "What a log of timings says.")
      .field("count", &T::count, "Timings.")
      .field("days", &T::days, "Days with any.")
      .field("median", &T::median, "Median, in the unit given.")
      .field("longest", &T::longest, "Longest.")
      .field("shortest", &T::shortest, "Shortest.")
      .field("outside", &T::outside, "Outside the limits; None: no limit.")
      .field("share_outside", &T::share_outside, "Their share, 0..1.")
      .field("share_interval", &T::share_interval, "(low, high).")
      .field("slope_per_day", &T::slope_per_day, "Change a day; None: fewer than 5 days.")
      .field("slope_interval", &T::slope_interval, "(low, high).")
      .field("rising", &T::rising, "Beyond chance, all trends allowed for.")
      .field("falling", &T::falling, "The same.")
      .finish();
  module.def(
      "summarise_timings",
      [](const std::vector<std::pair<double, double>>& timings, std::optional<double> low,
         std::optional<double> high, double level, int comparisons) {
        std::vector<Timing> given;
        given.reserve(timings.size());
        for (const auto& [day, value] : timings) {
          given.push_back({day, value});
        }
        return summarise_timings(given, {low, high}, {level, comparisons});
      },
      py::arg("timings"), py::kw_only(), py::arg("low"), py::arg("high"),
      py::arg("level") = TrendOptions{}.level, py::arg("comparisons") = TrendOptions{}.comparisons,
      "(day, value) against limits: outside, longest, trend.");
}

}  // namespace

void bind_picked(py::module_& module) {
  bind_crews(module);
  bind_bins(module);
  bind_cost(module);
  bind_damage(module);
  bind_timings(module);
}

}  // namespace maturity::bindings
