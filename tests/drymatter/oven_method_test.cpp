#include "libmaturity/drymatter/oven_method.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <stdexcept>

namespace maturity {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::ThrowsMessage;

OvenMethod air_oven() {
  OvenMethod method;
  method.dryer = "air oven";
  method.temperature_c = 60.0;
  method.hours = 72.0;
  return method;
}

TEST(OvenMethod, UsualPracticeRaisesNoDoubt) { EXPECT_THAT(doubts(air_oven()), IsEmpty()); }

TEST(OvenMethod, DoubtsAreNamed) {
  OvenMethod method = air_oven();
  method.dryer = "Microwave";
  method.temperature_c = 130.0;
  method.hours.reset();
  EXPECT_THAT(doubts(method),
              ElementsAre(MethodDoubt::hot, MethodDoubt::microwave, MethodDoubt::no_end));
  method = air_oven();
  method.temperature_c = 40.0;
  EXPECT_THAT(doubts(method), ElementsAre(MethodDoubt::cool));
  EXPECT_EQ(name(MethodDoubt::hot), "hot");
  EXPECT_FALSE(sentence(MethodDoubt::no_end).empty());
}

TEST(OvenMethod, OnlySameDryingIsComparable) {
  OvenMethod other = air_oven();
  other.dryer = "Air Oven";
  EXPECT_TRUE(comparable(air_oven(), other));
  other.temperature_c = 70.0;
  EXPECT_FALSE(comparable(air_oven(), other));
}

TEST(OvenMethod, BadInputIsNamed) {
  OvenMethod method = air_oven();
  method.temperature_c = 600.0;
  EXPECT_THAT([&] { doubts(method); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("temperature_c: 600")));
}

}  // namespace
}  // namespace maturity
