#include "libmaturity/descriptors/state_names.h"

#include <gtest/gtest.h>

#include <cmath>
#include <set>
#include <string>

namespace maturity {
namespace {

TEST(Registry, EveryNameIsFoundAgainAndOnlyOnce) {
  std::set<std::string_view> names;
  for (const DescriptorInfo& info : descriptor_registry()) {
    EXPECT_EQ(find_descriptor(info.name), info.descriptor);
    EXPECT_EQ(name(info.descriptor), info.name);
    names.insert(info.name);
  }
  EXPECT_EQ(names.size(), kDescriptorCount);
  EXPECT_FALSE(find_descriptor("girth").has_value());
}

TEST(StateNames, CarrySchemeAndEditionAndGoUpWithTheValue) {
  const auto absent = state_name(Descriptor::stem_hollow, 0.0);
  ASSERT_TRUE(absent.has_value());
  EXPECT_EQ(absent->state, "absent");
  EXPECT_EQ(absent->edition, "2006");
  EXPECT_EQ(state_name(Descriptor::stem_hollow, 0.2)->state, "very deep");
  EXPECT_EQ(state_name(Descriptor::nose_roundness, 0.9)->state, "round");
  EXPECT_NE(state_name_warning().find("project's own"), std::string_view::npos);
}

TEST(StateNames, UnknownStaysUnknown) {
  EXPECT_FALSE(state_name(Descriptor::sinus_depth, std::nan("")).has_value());
  EXPECT_FALSE(state_name(Descriptor::elongation, 1.3).has_value());
  EXPECT_FALSE(state_name(Descriptor::beak_prominence, -0.001).has_value());
  for (const Descriptor mapped : descriptors_with_state_names()) {
    EXPECT_TRUE(state_name(mapped, 0.01).has_value()) << name(mapped);
  }
}

}  // namespace
}  // namespace maturity
