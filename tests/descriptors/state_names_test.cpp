#include "libmaturity/descriptors/state_names.h"

#include <gtest/gtest.h>

#include <cmath>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace maturity {
namespace {

using D = Descriptor;

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

/// An invented fruit: elliptic, without hollow, beak or sinus, but for what a test sets.
Descriptors plain_fruit() {
  Descriptors values;
  values[Descriptor::elongation] = 1.35;
  values[Descriptor::end_balance] = 0.0;
  values[Descriptor::shoulder_fill] = 0.614;
  values[Descriptor::nose_fill] = 0.614;
  values[Descriptor::shoulder_rise_ventral] = 0.0;
  values[Descriptor::shoulder_fill_ventral] = 0.614;
  values[Descriptor::stem_hollow] = -0.005;
  values[Descriptor::nose_roundness] = 0.74;
  values[Descriptor::beak_prominence] = 0.0005;
  values[Descriptor::sinus_depth] = -0.0005;
  return values;
}

std::string state_of(const Descriptors& values, std::string_view character) {
  for (const StateName& name : state_names(values)) {
    if (name.character == character) {
      return std::string(name.state);
    }
  }
  return "";
}

std::string state_with(Descriptor descriptor, double value, std::string_view character) {
  Descriptors values = plain_fruit();
  values[descriptor] = value;
  return state_of(values, character);
}

TEST(StateNames, CarrySchemeEditionAndNoDigits) {
  const std::vector<StateName> names = state_names(plain_fruit());
  ASSERT_EQ(names.size(), 5U);  // no beak stands out, and the scale has no word for that
  for (const StateName& name : names) {
    EXPECT_EQ(name.scheme, "IPGRI Descriptors for Mango");
    EXPECT_EQ(name.edition, "2006");
    EXPECT_EQ(name.state.find_first_of("0123456789"), std::string_view::npos) << name.state;
    EXPECT_TRUE(name.known == "read" || name.known == "from memory") << name.known;
  }
  EXPECT_NE(state_name_warning().find("project's own"), std::string_view::npos);
}

TEST(StateNames, GoUpWithTheValue) {
  const std::string_view cavity = "depth of stalk cavity";
  EXPECT_EQ(state_with(D::stem_hollow, 0.0, cavity), "absent");
  EXPECT_EQ(state_with(D::stem_hollow, 0.004, cavity), "shallow");
  EXPECT_EQ(state_with(D::stem_hollow, 0.009, cavity), "medium");
  EXPECT_EQ(state_with(D::stem_hollow, 0.018, cavity), "deep");
  EXPECT_EQ(state_with(D::stem_hollow, 0.2, cavity), "very deep");
  EXPECT_EQ(state_with(D::nose_roundness, 0.3, "apex shape"), "acute");
  EXPECT_EQ(state_with(D::nose_roundness, 0.6, "apex shape"), "obtuse");
  EXPECT_EQ(state_with(D::nose_roundness, 0.9, "apex shape"), "round");
  EXPECT_EQ(state_with(D::beak_prominence, 0.001, "beak type"), "");
  EXPECT_EQ(state_with(D::beak_prominence, 0.005, "beak type"), "perceptible");
  EXPECT_EQ(state_with(D::beak_prominence, 0.012, "beak type"), "pointed");
  EXPECT_EQ(state_with(D::beak_prominence, 0.03, "beak type"), "prominent");
  EXPECT_EQ(state_with(D::sinus_depth, 0.0, "sinus type"), "absent");
  EXPECT_EQ(state_with(D::sinus_depth, 0.02, "sinus type"), "deep");
}

TEST(StateNames, FruitShapeAndVentralShoulder) {
  EXPECT_EQ(state_of(plain_fruit(), "fruit shape"), "elliptic");
  EXPECT_EQ(state_with(D::elongation, 1.05, "fruit shape"), "roundish");
  EXPECT_EQ(state_with(D::end_balance, 0.08, "fruit shape"), "ovoid");
  EXPECT_EQ(state_with(D::end_balance, -0.08, "fruit shape"), "obovoid");
  EXPECT_EQ(state_with(D::shoulder_fill, 0.75, "fruit shape"), "oblong");
  const std::string_view slope = "slope of ventral shoulder";
  EXPECT_EQ(state_of(plain_fruit(), slope), "long curve");
  EXPECT_EQ(state_with(D::shoulder_rise_ventral, 0.02, slope), "rising and then rounded");
  EXPECT_EQ(state_with(D::shoulder_fill_ventral, 0.5, slope), "sloping abruptly");
}

TEST(StateNames, UnknownStaysUnknown) {
  EXPECT_TRUE(state_names(Descriptors{}).empty());
  EXPECT_EQ(state_with(Descriptor::sinus_depth, std::nan(""), "sinus type"), "");
  EXPECT_EQ(
      state_with(Descriptor::shoulder_rise_ventral, std::nan(""), "slope of ventral shoulder"), "");
}

}  // namespace
}  // namespace maturity
