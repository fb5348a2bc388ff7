#pragma once

namespace maturity {

/// Lower and upper end of an interval, in the unit of the value it belongs to.
struct Bounds {
  double low = 0.0;
  double high = 0.0;
};

}  // namespace maturity
