#include "libmaturity/readiness/block_flags.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace maturity {
namespace {

TEST(BlockFlags, EachHasItsOwnNameAndASentence) {
  std::vector<std::string_view> names;
  for (const BlockFlag flag : all_block_flags()) {
    names.push_back(name(flag));
    EXPECT_EQ(sentence(flag).back(), '.') << name(flag);
  }
  EXPECT_EQ(names.size(), static_cast<std::size_t>(BlockFlag::flowerings_apart) + 1);
  std::sort(names.begin(), names.end());
  EXPECT_EQ(std::unique(names.begin(), names.end()), names.end());
  EXPECT_EQ(name(BlockFlag::left_skew), "left_skew");
  EXPECT_EQ(name(BlockReason::left_skew), "left_skew");
  EXPECT_EQ(all_block_reasons().size(),
            static_cast<std::size_t>(BlockReason::flowering_blocked) + 1);
  EXPECT_EQ(name(Decision::sample_more), "sample_more");
}

}  // namespace
}  // namespace maturity
