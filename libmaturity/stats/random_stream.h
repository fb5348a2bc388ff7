#pragma once

#include <cstddef>
#include <cstdint>
#include <random>

namespace maturity {

/// Seeded random numbers that are the same on every platform: the 64-bit Mersenne twister is fixed
/// by the C++ standard, the standard's distributions are not, so the mappings are written here.
class RandomStream {
 public:
  explicit RandomStream(std::uint64_t seed) : engine_(seed) {}

  /// Uniform on [0,1), 53 bits.
  double uniform() { return static_cast<double>(engine_() >> 11U) * 0x1.0p-53; }

  /// Uniform on 0..count-1, without bias: draws beyond the last whole multiple are drawn again.
  /// count >= 1.
  std::size_t below(std::size_t count) {
    const std::uint64_t size = count;
    const std::uint64_t excess = (UINT64_MAX % size + 1U) % size;
    std::uint64_t drawn = engine_();
    while (excess != 0U && drawn > UINT64_MAX - excess) {
      drawn = engine_();
    }
    return static_cast<std::size_t>(drawn % size);
  }

 private:
  std::mt19937_64 engine_;
};

}  // namespace maturity
