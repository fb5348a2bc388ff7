#pragma once

#include <utility>

#include "bindings/fields.h"
#include "libmaturity/readiness/block_estimate.h"
#include "libmaturity/stats/bounds.h"

/// Intervals are shown in Python as (low, high).
namespace maturity::bindings {

template <class T>
struct ShownInterval {
  static py::object out(const T& interval) { return py::make_tuple(interval.low, interval.high); }
  static T in(py::handle shown) {
    const auto [low, high] = shown.cast<std::pair<double, double>>();
    return {low, high};
  }
};

template <>
struct Shown<Interval> : ShownInterval<Interval> {};
template <>
struct Shown<Bounds> : ShownInterval<Bounds> {};

}  // namespace maturity::bindings
