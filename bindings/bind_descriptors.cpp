#include <array>
#include <cmath>
#include <map>
#include <stdexcept>

#include "bindings/fields.h"
#include "bindings/states.h"
#include "libmaturity/descriptors/describe_outline.h"
#include "libmaturity/descriptors/fourier.h"
#include "libmaturity/descriptors/state_names.h"

namespace maturity::bindings {

namespace {

/// Numbers by descriptor name; None where not defined.
py::dict by_name(const std::array<double, kDescriptorCount>& values) {
  py::dict dict;
  for (const auto& info : descriptor_registry()) {
    const double value = values[static_cast<std::size_t>(info.descriptor)];
    dict[py::str(std::string(info.name))] =
        std::isnan(value) ? py::object(py::none()) : py::object(py::float_(value));
  }
  return dict;
}

py::list rows_of(const std::vector<StateName>& names) {
  py::list rows;
  for (const StateName& one : names) {
    py::dict row;
    row["character"] = std::string(one.character);
    row["state"] = std::string(one.state);
    row["scheme"] = std::string(one.scheme);
    row["edition"] = std::string(one.edition);
    row["known"] = std::string(one.known);
    rows.append(row);
  }
  return rows;
}

/// Values by descriptor name, None or absent where not known.
py::list state_names_of(const std::map<std::string, std::optional<double>>& by_name) {
  Descriptors values;
  for (const auto& [key, value] : by_name) {
    const std::optional<Descriptor> descriptor = find_descriptor(key);
    if (!descriptor) {
      throw std::invalid_argument("descriptors: no descriptor is called '" + key + "'");
    }
    if (value) {
      values[*descriptor] = *value;
    }
  }
  return rows_of(state_names(values));
}

py::list registry() {
  py::list rows;
  for (const auto& info : descriptor_registry()) {
    py::dict row;
    row["name"] = std::string(info.name);
    row["meaning"] = std::string(info.meaning);
    row["needs_end"] = info.needs_end;
    row["needs_side"] = info.needs_side;
    row["with_maturity"] = info.with_maturity;
    rows.append(row);
  }
  return rows;
}

void bind_description(py::module_& module) {
  using S = ShapeDescription;
  Fields<Pose>(module, "Pose", "Stem end, nose and beak side, in the outline's own frame.")
      .field("stem", &Pose::stem, "Stem point (x, y).")
      .field("nose", &Pose::nose, "Nose point (x, y).")
      .field("axis", &Pose::axis, "Unit vector from stem end to nose.")
      .field("ventral_side", &Pose::ventral_side, "+1, -1, 0 when unknown.")
      .field("axis_probability", &Pose::axis_probability, "Chance that the ends are right.")
      .field("side_probability", &Pose::side_probability, "Chance that the side is right.")
      .field("flags", &Pose::flags, "What is doubtful (names).")
      .finish();
  Fields<Descriptors>(module, "Descriptors", "Values and standard errors; NaN: not defined.")
      .field("value", &Descriptors::value, "In the order of descriptor_registry().")
      .field("se", &Descriptors::se, "In the same order.")
      .finish();
  Fields<S> fields(module, "ShapeDescription", "Pose and shape of one outline.");
  fields.field("pose", &S::pose, "Stem end, nose and side.")
      .field("descriptor_values", &S::descriptors, "Values and errors in registry order.")
      .field("length", &S::length, "Along the axis, in the outline's unit.")
      .field("length_se", &S::length_se, "Its standard error.")
      .field("width", &S::width, "Across the axis, in the outline's unit.")
      .field("width_se", &S::width_se, "Its standard error.")
      .field("edge_sd", &S::edge_sd, "Edge error that the errors rest on.")
      .field("edge_correlation_length", &S::edge_correlation_length, "Along the edge.");
  fields.finish()
      .def_property_readonly(
          "descriptors", [](const S& self) { return by_name(self.descriptors.value); },
          "Value by name; None where not defined.")
      .def_property_readonly(
          "descriptor_se", [](const S& self) { return by_name(self.descriptors.se); },
          "Standard error by name; None where not defined.")
      .def_property_readonly(
          "state_names", [](const S& self) { return rows_of(state_names(self.descriptors)); },
          "See maturity.state_names.")
      .def_property_readonly("stem", [](const S& s) { return Shown<Point>::out(s.pose.stem); })
      .def_property_readonly("nose", [](const S& s) { return Shown<Point>::out(s.pose.nose); })
      .def_property_readonly("ventral_side", [](const S& s) { return s.pose.ventral_side; })
      .def_property_readonly("axis_probability", [](const S& s) { return s.pose.axis_probability; })
      .def_property_readonly("side_probability", [](const S& s) { return s.pose.side_probability; })
      .def_property_readonly(
          "flags", [](const S& s) { return Shown<std::vector<FruitFlag>>::out(s.pose.flags); });
}

}  // namespace

void bind_descriptors(py::module_& module) {
  bind_description(module);
  module.def("descriptor_registry", &registry, "Every descriptor: name, meaning, what it needs.");
  module.def(
      "elliptic_fourier",
      [](const py::object& outline, std::size_t count) {
        std::vector<std::array<double, 4>> rows;
        for (const Harmonic& one : elliptic_fourier(Shown<Polygon>::in(outline), count)) {
          rows.push_back({one.a, one.b, one.c, one.d});
        }
        return rows;
      },
      py::arg("outline"), py::arg("count"),
      "Elliptic Fourier coefficients a, b, c, d of harmonics 1 to count (Kuhl and Giardina 1982).");
  module.def("state_names", &state_names_of, py::arg("descriptors"), "See maturity.state_names.");
  module.attr("state_name_warning") = std::string(state_name_warning());
  module.attr("descriptors_version") = kDescriptorsVersion;
  module.def(
      "describe_outline",
      [](const py::object& outline, const py::object& stem, const py::object& nose,
         std::optional<int> ventral_side, std::optional<double> edge_sd,
         std::optional<double> edge_correlation_length, bool with_errors) {
        const Polygon polygon = Shown<Polygon>::in(outline);
        DescribeOptions options;
        options.evidence.given_stem = Shown<std::optional<Point>>::in(stem);
        options.evidence.given_nose = Shown<std::optional<Point>>::in(nose);
        options.evidence.given_ventral_side = ventral_side;
        options.edge_sd = edge_sd;
        options.edge_correlation_length = edge_correlation_length;
        options.with_errors = with_errors;
        const py::gil_scoped_release release;
        return describe_outline(polygon, options);
      },
      py::arg("outline"), py::kw_only(), py::arg("stem"), py::arg("nose"), py::arg("ventral_side"),
      py::arg("edge_sd"), py::arg("edge_correlation_length"), py::arg("with_errors"),
      "See maturity.describe_outline.");
}

}  // namespace maturity::bindings
