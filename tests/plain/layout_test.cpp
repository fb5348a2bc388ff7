#include <gtest/gtest.h>

#include <cstddef>
#include <type_traits>
#include <vector>

#include "libmaturity/plain/block.h"
#include "libmaturity/plain/photos.h"

/// What a program compiled earlier takes for granted: the place of every member, and the functions
/// by their parameters. A change here needs a new minor version (COMPATIBILITY SameMinorVersion).
/// The numbers are of GCC's library on 64-bit Linux, as recorded on 26 November 2026.
#if defined(__GLIBCXX__) && defined(__x86_64__) && !defined(_GLIBCXX_DEBUG)

namespace maturity::plain {
namespace {

/// Bytes of an object, then how far into it each member lies.
template <class T, class... Members>
std::vector<std::ptrdiff_t> layout(const T& object, const Members&... members) {
  const auto* start = reinterpret_cast<const std::byte*>(&object);
  return {static_cast<std::ptrdiff_t>(sizeof(T)),
          (reinterpret_cast<const std::byte*>(&members) - start)...};
}

// A structured binding names all members: one more or one less does not compile.
std::vector<std::ptrdiff_t> layout_of(const SampledFruit& one) {
  const auto& [tree, shape, oven, meter] = one;
  return layout(one, tree, shape, oven, meter);
}
std::vector<std::ptrdiff_t> layout_of(const Rule& one) {
  const auto& [minimum, share, confidence] = one;
  return layout(one, minimum, share, confidence);
}
std::vector<std::ptrdiff_t> layout_of(const Estimate& one) {
  const auto& [mean, mean_range, share, share_range, readiness, decision, reasons, doubts] = one;
  return layout(one, mean, mean_range, share, share_range, readiness, decision, reasons, doubts);
}
std::vector<std::ptrdiff_t> layout_of(const Fruit& one) {
  const auto& [fruit, tile, usable, outline, length, length_se, width, width_se, flags, shape,
               shape_se] = one;
  return layout(one, fruit, tile, usable, outline, length, length_se, width, width_se, flags, shape,
                shape_se);
}
std::vector<std::ptrdiff_t> layout_of(const Photo& one) {
  const auto& [path, sha256, error, taken, code, scale, scale_se, flags, fruits] = one;
  return layout(one, path, sha256, error, taken, code, scale, scale_se, flags, fruits);
}
std::vector<std::ptrdiff_t> layout_of(const Limits& one) {
  const auto& [megapixels, seconds, threads] = one;
  return layout(one, megapixels, seconds, threads);
}

using Layout = std::vector<std::ptrdiff_t>;

TEST(PlainLayout, MembersLieWhereEarlierProgramsLookForThem) {
  EXPECT_EQ(layout_of(SampledFruit{}), (Layout{88, 0, 32, 56, 72}));
  EXPECT_EQ(layout_of(Rule{}), (Layout{24, 0, 8, 16}));
  EXPECT_EQ(layout_of(Estimate{}), (Layout{176, 0, 16, 40, 56, 80, 96, 128, 152}));
  EXPECT_EQ(layout_of(Fruit{}), (Layout{216, 0, 4, 5, 8, 32, 48, 64, 80, 96, 120, 168}));
  EXPECT_EQ(layout_of(Photo{}), (Layout{264, 0, 32, 64, 104, 144, 184, 200, 216, 240}));
  EXPECT_EQ(layout_of(Limits{}), (Layout{24, 0, 8, 16}));
  EXPECT_EQ(sizeof(Point), 2 * sizeof(double));
  EXPECT_EQ(sizeof(Range), 2 * sizeof(double));
}

// A name in the library is made of the function's name and its parameters.
static_assert(std::is_same_v<decltype(&estimate_block),
                             Estimate (*)(const std::vector<SampledFruit>&, const Rule&)>);
static_assert(
    std::is_same_v<decltype(&measure_photos),
                   std::vector<Photo> (*)(const std::vector<std::string>&, const Limits&)>);

/// Made wrong on purpose: two members of `Limits` change places.
struct SwappedLimits {
  double max_megapixels = 120.0;
  int threads = 0;
  double max_seconds = 60.0;
};

TEST(PlainLayout, MembersThatChangePlacesAreNoticed) {
  const SwappedLimits one;
  EXPECT_NE(layout(one, one.max_megapixels, one.max_seconds, one.threads), layout_of(Limits{}));
}

}  // namespace
}  // namespace maturity::plain

#endif
