#pragma once

#include <chrono>
#include <limits>
#include <sstream>

#include "libmaturity/photo/photo.h"

namespace maturity {

/// A photo that took longer than allowed: another time, or with a higher limit, it may succeed.
class PhotoTimeUp : public PhotoError {
 public:
  using PhotoError::PhotoError;
};

/// How long one photo may take, counted from its making by a clock that never goes back. Asked
/// between the steps of measuring: a step that has begun is finished.
class TimeLimit {
 public:
  TimeLimit() = default;
  explicit TimeLimit(double seconds) : seconds_(seconds) {}

  /// Throws PhotoTimeUp when the time is over.
  void check() const {
    const std::chrono::duration<double> taken = std::chrono::steady_clock::now() - start_;
    if (taken.count() > seconds_) {
      std::ostringstream text;
      text << "The photo took longer than the limit of " << seconds_
           << " seconds; raise the limit, or try again when the machine is less busy.";
      throw PhotoTimeUp(text.str());
    }
  }

 private:
  double seconds_ = std::numeric_limits<double>::infinity();
  std::chrono::steady_clock::time_point start_ = std::chrono::steady_clock::now();
};

}  // namespace maturity
