#pragma once

#include "libmaturity/readiness/block_data.h"

namespace maturity::bindings {

/// All that is asked of the library about one block at one visit.
struct BlockQuestion {
  BlockData data;
  BlockRule rule;
  BlockOptions options;
};

}  // namespace maturity::bindings
