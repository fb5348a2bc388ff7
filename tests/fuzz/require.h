#pragma once

#include <cstdio>
#include <cstdlib>

namespace maturity::fuzz {

/// Ends the program, so that the fuzzer keeps the input, when a promise of the library is broken.
inline void require(bool holds, const char* promise) {
  if (!holds) {
    std::fprintf(stderr, "broken promise: %s\n", promise);
    std::abort();
  }
}

}  // namespace maturity::fuzz
