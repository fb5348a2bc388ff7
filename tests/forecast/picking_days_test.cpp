#include "libmaturity/forecast/picking_days.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <stdexcept>

namespace maturity {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

// By hand, two crews from day 10: Quarry (free on 10, 6 crew-days) 10 to 12; Weir (free on 11, 4)
// waits two days, 13 to 14; Saddle (ready on 12 but clear on 20, 1) on 20.
TEST(PickingDays, OneBlockAfterTheOtherByDate) {
  const auto turns = plan_picking(
      {{"Saddle", 12, 20, 1.0, 19}, {"Weir", 11, 0, 4.0, 15}, {"Quarry", 8, 0, 6.0, std::nullopt}},
      2.0, 10);
  ASSERT_EQ(turns.size(), 3U);
  EXPECT_EQ(turns[0].block, "Quarry");
  EXPECT_EQ(turns[0].start, 10);
  EXPECT_EQ(turns[0].finish, 12);
  EXPECT_FALSE(turns[0].slack.has_value());
  EXPECT_EQ(turns[1].block, "Weir");
  EXPECT_EQ(turns[1].start, 13);
  EXPECT_EQ(turns[1].finish, 14);
  EXPECT_EQ(turns[1].waits, 2);
  EXPECT_EQ(turns[1].slack, 1);
  // The withholding period, not the fruit, makes Saddle slip by a day.
  EXPECT_EQ(turns[2].free_from, 20);
  EXPECT_EQ(turns[2].finish, 20);
  EXPECT_EQ(turns[2].slack, -1);
}

TEST(PickingDays, PartOfADayIsUsedByTheNextBlock) {
  const auto turns = plan_picking({{"A", 0, 0, 3.0, {}}, {"B", 0, 0, 1.0, {}}}, 2.0, 0);
  EXPECT_EQ(turns[0].finish, 1);
  EXPECT_EQ(turns[1].start, 1);
  EXPECT_EQ(turns[1].finish, 1);
}

TEST(PickingDays, ThirdsOfADayOpenNoOther) {
  std::vector<PickingBlock> blocks(3, {"A", 0, 0, 1.0, {}});
  EXPECT_EQ(plan_picking(blocks, 3.0, 0).back().finish, 0);
}

TEST(PickingDays, UnknownIsNeverPlanned) {
  const auto turns = plan_picking(
      {{"A", std::nullopt, 0, 3.0, {}}, {"B", 0, std::nullopt, 3.0, {}}, {"C", 0, 0, 0.0, {}}}, 1.0,
      0);
  EXPECT_EQ(turns[0].not_planned, NotPlanned::no_date);
  EXPECT_EQ(turns[1].not_planned, NotPlanned::not_cleared);
  EXPECT_EQ(turns[2].not_planned, NotPlanned::no_crew_days);
  EXPECT_FALSE(turns[1].start.has_value());
}

TEST(PickingDays, BadInputIsNamed) {
  EXPECT_THAT([] { plan_picking({}, 0.0, 0); },
              ThrowsMessage<std::invalid_argument>(HasSubstr("crews: 0")));
  EXPECT_THAT(
      [] {
        plan_picking({{"Weir", 0, 0, -1.0, {}}}, 1.0, 0);
      },
      ThrowsMessage<std::invalid_argument>(HasSubstr("crew_days of Weir: -1")));
}

}  // namespace
}  // namespace maturity
