#pragma once

namespace maturity {

/// Sanitized builds look for faults of memory and threads, ten to thirty times as slowly: long
/// simulations run fewer rounds there. Their figures are judged in the optimised build.
#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
inline constexpr bool kSanitized = true;
#else
inline constexpr bool kSanitized = false;
#endif

}  // namespace maturity
