#include <cmath>
#include <cstdio>

#include "bindings/fields.h"
#include "bindings/states.h"
#include "libmaturity/core/flags.h"
#include "libmaturity/core/version.h"

namespace maturity::bindings {

py::object plain(const py::object& value) {
  if (py::isinstance<py::float_>(value)) {
    return std::isfinite(value.cast<double>()) ? value : py::object(py::none());
  }
  if (py::isinstance<py::array>(value)) {
    return plain(value.attr("tolist")());
  }
  if (py::isinstance<py::list>(value) || py::isinstance<py::tuple>(value)) {
    py::list list;
    for (const py::handle item : value) {
      list.append(plain(py::reinterpret_borrow<py::object>(item)));
    }
    return list;
  }
  if (py::isinstance<py::dict>(value)) {
    py::dict dict;
    for (const auto& [key, item] : value.cast<py::dict>()) {
      dict[key] = plain(py::reinterpret_borrow<py::object>(item));
    }
    return dict;
  }
  if (py::hasattr(value, "to_dict")) {
    return value.attr("to_dict")();
  }
  return value;
}

std::string brief(const py::object& value) {
  if (value.is_none() || py::isinstance<py::bool_>(value) || py::isinstance<py::int_>(value) ||
      py::isinstance<py::str>(value)) {
    return py::repr(value).cast<std::string>();
  }
  if (py::isinstance<py::float_>(value)) {
    return py::str("{:.6g}").format(value).cast<std::string>();
  }
  if (py::isinstance<py::tuple>(value)) {
    std::string text;
    for (const py::handle item : value) {
      text += (text.empty() ? "" : ", ") + brief(py::reinterpret_borrow<py::object>(item));
    }
    return "(" + text + ")";
  }
  if (py::isinstance<py::list>(value)) {
    const auto list = value.cast<py::list>();
    if (list.empty()) {
      return "[]";
    }
    if (py::isinstance<py::str>(list[0])) {
      return py::repr(list).cast<std::string>();
    }
  }
  return "";
}

namespace {

template <class State>
py::dict sentences(const std::vector<State>& states) {
  py::dict dict;
  for (const State state : states) {
    dict[py::str(std::string(name(state)))] = std::string(sentence(state));
  }
  return dict;
}

}  // namespace

void bind_core(py::module_& module) {
  module.def("version", &version, "Version of the library.");
  module.def("method_version", &method_version, "Version of the measuring method.");
  module.def(
      "photo_flag_sentences", [] { return sentences(all_photo_flags()); },
      "What each flag of a photo means and what to do, by its name.");
  module.def(
      "fruit_flag_sentences", [] { return sentences(all_fruit_flags()); },
      "What each flag of a fruit means and what to do, by its name.");
}

}  // namespace maturity::bindings
