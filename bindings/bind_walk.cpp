#include "bindings/bind_walk.h"

#include <cstdint>

#include "bindings/fields.h"
#include "libmaturity/field/canopy_places.h"
#include "libmaturity/field/row_map.h"
#include "libmaturity/field/sequential_looks.h"
#include "libmaturity/field/tree_sample.h"
#include "libmaturity/field/walk_result.h"
#include "libmaturity/field/walk_route.h"
#include "libmaturity/field/walk_size.h"

namespace maturity::bindings {

namespace {

std::vector<LookVerdict> all_verdicts() {
  return {LookVerdict::ready, LookVerdict::not_yet, LookVerdict::go_on, LookVerdict::undecided};
}

}  // namespace

template <>
struct Shown<LookVerdict> : NamedState<LookVerdict, all_verdicts> {};

template <>
struct Shown<RowTree> {
  static py::object out(const RowTree& tree) {
    return py::make_tuple(tree.row, tree.along_m, tree.across_m);
  }
  static RowTree in(py::handle shown) {
    const auto [row, along, across] = shown.cast<std::tuple<int, double, double>>();
    return {row, along, across};
  }
};

namespace {

using Places = std::vector<std::pair<double, double>>;

std::vector<TreePlace> tree_places(const Places& given) {
  std::vector<TreePlace> trees;
  trees.reserve(given.size());
  for (const auto& [x, y] : given) {
    trees.push_back({x, y});
  }
  return trees;
}

void bind_draws(py::module_& module) {
  module.def(
      "draw_balanced_trees",
      [](const Places& trees, int count, std::uint64_t seed) {
        const py::gil_scoped_release release;
        return draw_balanced_trees(tree_places(trees), count, seed);
      },
      py::arg("trees"), py::kw_only(), py::arg("count"), py::arg("seed"),
      "Indices of trees (x, y in m, or as counted), each with the same chance, neighbours unlikely "
      "together.");
  module.def(
      "deal_into_rounds",
      [](const Places& trees, int rounds, std::uint64_t seed) {
        const py::gil_scoped_release release;
        return deal_into_rounds(tree_places(trees), rounds, seed);
      },
      py::arg("trees"), py::kw_only(), py::arg("rounds"), py::arg("seed"),
      "Positions of drawn trees for each round, every round spread over the block.");
  module.def("draw_dried_fruit", &draw_dried_fruit, py::arg("trees"), py::kw_only(),
             py::arg("fruit"), py::arg("dried"), py::arg("seed"),
             "Which fruit (from 0) of each tree go into the oven, drawn blind.");
  module.def(
      "canopy_place",
      [](int fruit, int start) {
        const CanopyPlace place = canopy_place(fruit, start);
        return py::make_tuple(place.side, place.height);
      },
      py::arg("fruit"), py::kw_only(), py::arg("start"),
      "Side (0..3) and height (0..2) of the canopy where the n-th fruit is taken.");
}

void bind_map(py::module_& module) {
  module.def(
      "local_places",
      [](const Places& points) {
        std::vector<GeoPoint> given;
        given.reserve(points.size());
        for (const auto& [lat, lon] : points) {
          given.push_back({lat, lon});
        }
        Places places;
        for (const TreePlace& place : local_places(given)) {
          places.emplace_back(place.x_m, place.y_m);
        }
        return places;
      },
      py::arg("points"), "Points (latitude, longitude) in m east and north of their middle.");
  module.def(
      "trees_in_rows",
      [](const std::vector<int>& row, const Places& places) {
        return Shown<std::vector<RowTree>>::out(trees_in_rows(row, tree_places(places)));
      },
      py::arg("row"), py::arg("places"),
      "Each tree as (row in walking order from 0, along in m, across in m).");
  using R = WalkRoute;
  Fields<R>(module, "WalkRoute", "Order of the stops, as people walk rows.")
      .field("order", &R::order, "Stops in walking order, indices of trees.")
      .field("path", &R::path, "Trees where the way goes on or turns.")
      .field("length_m", &R::length_m, "Walked, m.")
      .finish();
  module.def(
      "serpentine_route",
      [](const py::list& trees, const std::vector<std::size_t>& stops) {
        return serpentine_route(Shown<std::vector<RowTree>>::in(trees), stops);
      },
      py::arg("trees"), py::arg("stops"),
      "Route along stops (indices) among trees (row, along_m, across_m).");
}

void bind_size(py::module_& module) {
  using V = WalkVariances;
  Fields<V>(module, "WalkVariances", "Variances that a walk is planned with, squared %.")
      .field("tree_variance", &V::tree_variance, "Between trees.")
      .field("fruit_variance", &V::fruit_variance, "Between fruit of a tree.")
      .field("shape_tree_variance", &V::shape_tree_variance, "Explained by shape, between trees.")
      .field("shape_fruit_variance", &V::shape_fruit_variance, "Explained by shape, within.")
      .field("share_z", &V::share_z, "Normal quantile of the required share; 0: rule mean.")
      .field("balance", &V::balance, "What balance leaves of the variance between trees, 0..1.")
      .finish()
      .def(py::init([](double tree, double fruit, double shape_tree, double shape_fruit,
                       double share_z, double balance) {
             return V{tree, fruit, shape_tree, shape_fruit, share_z, balance};
           }),
           py::kw_only(), py::arg("tree_variance"), py::arg("fruit_variance"),
           py::arg("shape_tree_variance") = 0.0, py::arg("shape_fruit_variance") = 0.0,
           py::arg("share_z") = 0.0, py::arg("balance") = 1.0);
  using D = WalkDesign;
  Fields<D>(module, "WalkDesign", "Trees, fruit and oven readings of a walk.")
      .field("trees", &D::trees, "Trees.")
      .field("fruit_per_tree", &D::fruit_per_tree, "Fruit of each tree on photos.")
      .field("oven_per_tree", &D::oven_per_tree, "Of these into the oven.")
      .field("cost", &D::cost, "In the unit of the costs.")
      .field("standard_error", &D::standard_error, "Of what the rule looks at, %.")
      .field("p_clear", &D::p_clear, "Chance of a clear decision; None without an earlier visit.")
      .field("reached", &D::reached, "False: nothing within the limits reaches what was asked.")
      .finish();
  const auto margin = [](const std::optional<std::tuple<double, double, double>>& given) {
    return given ? std::optional<ExpectedMargin>(
                       {std::get<0>(*given), std::get<1>(*given), std::get<2>(*given)})
                 : std::nullopt;
  };
  using Margin = std::optional<std::tuple<double, double, double>>;
  using Costs = std::tuple<double, double, double>;
  const auto costs_of = [](const Costs& costs) {
    return SamplingCosts{std::get<0>(costs), std::get<1>(costs), std::get<2>(costs)};
  };
  module.def(
      "walk_design",
      [=](const V& variances, const Costs& costs, const Margin& expected, int trees, int fruit,
          int oven) {
        return walk_design(variances, costs_of(costs), margin(expected), trees, fruit, oven);
      },
      py::arg("variances"), py::kw_only(), py::arg("costs"), py::arg("margin"), py::arg("trees"),
      py::arg("fruit_per_tree"), py::arg("oven_per_tree"),
      "A design as given; costs (tree, photo, oven), margin (%, SD, confidence) or None.");
  module.def("may_say_ready", &may_say_ready, py::arg("trees"), py::arg("oven_per_tree"),
             "False for walks too small to call a block ready.");
  module.def(
      "plan_walk_size",
      [=](const V& variances, const Costs& costs, const Margin& expected, int most_trees,
          std::pair<int, int> fruit, std::optional<double> half_width,
          std::optional<double> clear) {
        WalkLimits limits;
        limits.trees_high = most_trees;
        limits.fruit_low = fruit.first;
        limits.fruit_high = fruit.second;
        if (half_width) {
          return walk_for_error(variances, costs_of(costs), limits, *half_width, margin(expected));
        }
        if (!clear || !expected) {
          throw py::value_error("expected half_width, or clear with a margin");
        }
        return walk_for_decision(variances, costs_of(costs), limits, *clear, *margin(expected));
      },
      py::arg("variances"), py::kw_only(), py::arg("costs"), py::arg("margin"),
      py::arg("most_trees"), py::arg("fruit_per_tree"), py::arg("half_width"), py::arg("clear"),
      "Cheapest design for a 95 % interval of +- half_width, %, or for a chance of a decision.");
}

void bind_looks(py::module_& module) {
  using L = Look;
  Fields<L>(module, "Look", "A look at the results of a walk so far.")
      .field("fraction", &L::fraction, "Share of the planned trees, 0..1.")
      .field("needed", &L::needed, "Chance (0..1) that ready, or its opposite, needs here.")
      .field("spent", &L::spent, "Share of the error spent so far, 0..1.")
      .field("verdict", &L::verdict, "ready, not_yet, go_on or undecided.")
      .finish()
      .def_property_readonly(
          "sentence", [](const L& self) { return std::string(sentence(self.verdict)); },
          "The verdict in words.");
  module.def("judge_look", &judge_look, py::arg("readiness"), py::kw_only(), py::arg("fraction"),
             py::arg("earlier"), py::arg("confidence"),
             "Enough or go on, with the looks before (their fractions) counted.");
  module.def("chance_to_settle", &chance_to_settle, py::arg("margin"), py::kw_only(), py::arg("sd"),
             py::arg("sd_after"), py::arg("confidence"),
             "Chance that the rule is settled once the SD of what it looks at has fallen.");
  using R = WalkResult;
  Fields<R>(module, "WalkResult", "What a walk's own dry matter says, without a model.")
      .field("trees", &R::trees, "Trees.")
      .field("fruit", &R::fruit, "Fruit.")
      .field("mean", &R::mean, "Mean of the tree means, %.")
      .field("between_variance", &R::between_variance, "Between trees, squared %.")
      .field("within_variance", &R::within_variance, "Between fruit of a tree, squared %.")
      .field("random_error", &R::random_error, "Error of the mean as of a random draw, %.")
      .field("balanced_error", &R::balanced_error, "Error of the mean, balance credited, %.")
      .field("balance", &R::balance, "Ratio of their squares, at most 1.")
      .finish();
  module.def(
      "walk_result",
      [](const std::vector<std::vector<double>>& values, const Places& places) {
        return walk_result(values, tree_places(places));
      },
      py::arg("values"), py::arg("places"), "Variance parts and errors of a walk, tree by tree.");
}

}  // namespace

void bind_walk(py::module_& module) {
  bind_draws(module);
  bind_map(module);
  bind_size(module);
  bind_looks(module);
}

}  // namespace maturity::bindings
