#include "libmaturity/core/flags.h"

#include <gtest/gtest.h>

#include <set>
#include <string>

namespace maturity {
namespace {

TEST(Flags, EveryFlagHasItsOwnNameAndASentence) {
  std::set<std::string> names;
  for (const PhotoFlag flag : all_photo_flags()) {
    names.emplace(name(flag));
    EXPECT_EQ(sentence(flag).back(), '.');
  }
  for (const FruitFlag flag : all_fruit_flags()) {
    names.emplace(name(flag));
    EXPECT_EQ(sentence(flag).back(), '.');
  }
  EXPECT_EQ(names.size(), all_photo_flags().size() + all_fruit_flags().size());
}

TEST(Flags, NamesFollowTheEnumeration) {
  EXPECT_EQ(name(PhotoFlag::count_differs), "count_differs");
  EXPECT_EQ(name(FruitFlag::pose_uncertain), "pose_uncertain");
}

}  // namespace
}  // namespace maturity
