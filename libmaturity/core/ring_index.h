#pragma once

#include <cstddef>

namespace maturity {

/// The place `few` steps before i on a ring of n; i < n.
inline std::size_t ring_before(std::size_t i, std::size_t few, std::size_t n) {
  few %= n;
  return i >= few ? i - few : i + n - few;
}

/// The next place on a ring of n. Comparing is a fraction of a division, which counts in inner
/// loops.
inline std::size_t ring_next(std::size_t i, std::size_t n) { return i + 1 < n ? i + 1 : 0; }

}  // namespace maturity
