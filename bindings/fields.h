#pragma once

#include <pybind11/eigen.h>
#include <pybind11/functional.h>
#include <pybind11/numpy.h>
#include <pybind11/pybind11.h>
#include <pybind11/stl.h>

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <type_traits>
#include <utility>
#include <vector>

#include "libmaturity/core/polygon.h"

/// The fields of a C++ struct, listed once: they become attributes, repr, to_dict and pickle.
namespace maturity::bindings {

namespace py = pybind11;

/// How a C++ value looks in Python and how it comes back. Missing is None; states are strings.
template <class T>
struct Shown {
  static py::object out(const T& value) { return py::cast(value); }
  static T in(py::handle shown) { return shown.cast<T>(); }
};

template <class T>
struct Shown<std::optional<T>> {
  static py::object out(const std::optional<T>& value) {
    return value ? Shown<T>::out(*value) : py::object(py::none());
  }
  static std::optional<T> in(py::handle shown) {
    if (shown.is_none()) {
      return std::nullopt;
    }
    return Shown<T>::in(shown);
  }
};

template <class T>
struct Shown<std::vector<T>> {
  static py::object out(const std::vector<T>& values) {
    py::list list;
    for (const auto& value : values) {
      list.append(Shown<T>::out(value));
    }
    return list;
  }
  static std::vector<T> in(py::handle shown) {
    std::vector<T> values;
    for (const py::handle item : shown) {
      values.push_back(Shown<T>::in(item));
    }
    return values;
  }
};

template <>
struct Shown<std::vector<double>> {
  static py::object out(const std::vector<double>& values) {
    return py::array_t<double>(static_cast<py::ssize_t>(values.size()), values.data());
  }
  static std::vector<double> in(py::handle shown) { return shown.cast<std::vector<double>>(); }
};

/// An outline is an array (N,2).
template <>
struct Shown<Polygon> {
  static py::object out(const Polygon& polygon) {
    py::array_t<double> array({static_cast<py::ssize_t>(polygon.size()), py::ssize_t{2}});
    auto cells = array.mutable_unchecked<2>();
    for (py::ssize_t row = 0; row < array.shape(0); ++row) {
      cells(row, 0) = polygon[static_cast<std::size_t>(row)].x();
      cells(row, 1) = polygon[static_cast<std::size_t>(row)].y();
    }
    return array;
  }
  static Polygon in(py::handle shown) {
    const auto array = py::array_t<double, py::array::forcecast>::ensure(shown);
    if (!array || array.ndim() != 2 || array.shape(1) != 2) {
      throw py::value_error("outline: expected numbers of shape (N,2), one x and one y a point");
    }
    const auto cells = array.unchecked<2>();
    Polygon polygon;
    for (py::ssize_t row = 0; row < array.shape(0); ++row) {
      polygon.emplace_back(cells(row, 0), cells(row, 1));
    }
    return polygon;
  }
};

template <>
struct Shown<Point> {
  static py::object out(const Point& point) {
    py::array_t<double> array(2);
    array.mutable_at(0) = point.x();
    array.mutable_at(1) = point.y();
    return array;
  }
  static Point in(py::handle shown) {
    const auto values = shown.cast<std::vector<double>>();
    if (values.size() != 2) {
      throw py::value_error("point: expected x and y");
    }
    return {values[0], values[1]};
  }
};

/// A state with a name: shown as that name.
template <class State, std::vector<State> (*all)()>
struct NamedState {
  static py::object out(State state) { return py::str(std::string(name(state))); }
  static State in(py::handle shown) {
    const auto text = shown.cast<std::string>();
    std::string known;
    for (const State state : all()) {
      if (name(state) == text) {
        return state;
      }
      known += (known.empty() ? "" : ", ") + std::string(name(state));
    }
    throw py::value_error("state: " + text + " is not one of " + known);
  }
};

/// The same value as JSON would hold it: lists, None for NaN, no arrays.
py::object plain(const py::object& value);

/// Text of a field in a repr; empty for what is too long to show.
std::string brief(const py::object& value);

template <class T>
class Fields {
 public:
  Fields(py::module_& module, const char* class_name, const char* doc)
      : class_(module, class_name, doc),
        class_name_(class_name),
        list_(std::make_shared<std::vector<Field>>()) {}

  template <class Member>
  Fields& field(const char* field_name, Member T::*member, const char* doc) {
    list_->push_back(
        {field_name,
         [member](const T& self) { return Shown<Member>::out(self.*member); },
         [member](T& self, py::handle value) { self.*member = Shown<Member>::in(value); },
         {}});
    class_.def_property_readonly(
        field_name, [member](const T& self) { return Shown<Member>::out(self.*member); }, doc);
    return *this;
  }

  /// A field that pickle holds in a smaller form than Python shows.
  template <class Member>
  Fields& packed_field(const char* field_name, Member T::*member, const char* doc,
                       py::object (*pack)(const Member&), Member (*unpack)(py::handle)) {
    field(field_name, member, doc);
    list_->back().pack = [member, pack](const T& self) { return pack(self.*member); };
    list_->back().set = [member, unpack](T& self, py::handle packed) {
      self.*member = unpack(packed);
    };
    return *this;
  }

  /// Defines repr, to_dict and pickle from the fields listed so far.
  py::class_<T>& finish() {
    const auto list = list_;
    class_.def(
        "to_dict",
        [list](const T& self) {
          py::dict dict;
          for (const auto& one : *list) {
            dict[one.name.c_str()] = plain(one.get(self));
          }
          return dict;
        },
        "The fields under their names, as JSON would hold them.");
    class_.def("__repr__", [list, title = class_name_](const T& self) {
      std::string text;
      for (const auto& one : *list) {
        const auto value = brief(one.get(self));
        if (!value.empty()) {
          text += (text.empty() ? "" : ", ") + one.name + "=" + value;
        }
      }
      return title + "(" + text + ")";
    });
    class_.def(py::pickle(
        [list](const T& self) {
          py::dict state;
          for (const auto& one : *list) {
            state[one.name.c_str()] = one.pack ? one.pack(self) : one.get(self);
          }
          return state;
        },
        [list](const py::dict& state) {
          T self{};
          for (const auto& one : *list) {
            one.set(self, state[one.name.c_str()]);
          }
          return self;
        }));
    return class_;
  }

 private:
  struct Field {
    std::string name;
    std::function<py::object(const T&)> get;
    std::function<void(T&, py::handle)> set;
    std::function<py::object(const T&)> pack;
  };
  py::class_<T> class_;
  std::string class_name_;
  std::shared_ptr<std::vector<Field>> list_;
};

}  // namespace maturity::bindings
