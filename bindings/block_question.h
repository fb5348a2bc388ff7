#pragma once

#include "bindings/fields.h"
#include "libmaturity/readiness/block_data.h"

namespace maturity::bindings {

/// All that is asked of the library about one block at one visit.
struct BlockQuestion {
  BlockData data;
  BlockRule rule;
  BlockOptions options;
};

template <>
struct Shown<RuleKind> {
  static py::object out(RuleKind kind) {
    return py::str(kind == RuleKind::mean ? "mean" : "share");
  }
  static RuleKind in(py::handle shown) {
    const auto text = shown.cast<std::string>();
    if (text == "share") {
      return RuleKind::share;
    }
    if (text == "mean") {
      return RuleKind::mean;
    }
    throw py::value_error("rule: " + text + " is not one of share, mean");
  }
};

}  // namespace maturity::bindings
