#pragma once

namespace maturity {

/// Sanitized builds look for faults of memory and threads, ten to thirty times as slowly: long
/// simulations run fewer rounds there, and where lines are counted. Their figures are judged in the
/// optimised build.
#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__) || defined(MATURITY_FEWER_ROUNDS)
inline constexpr bool kSanitized = true;
#else
inline constexpr bool kSanitized = false;
#endif

}  // namespace maturity
