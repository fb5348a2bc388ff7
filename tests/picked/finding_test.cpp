#include "libmaturity/picked/finding.h"

#include <gtest/gtest.h>

#include <set>
#include <string_view>

namespace maturity {
namespace {

TEST(Findings, EachHasACauseASourceAndOneName) {
  std::set<std::string_view> names;
  for (const Finding& each : findings()) {
    EXPECT_TRUE(names.insert(each.name).second) << each.name;
    EXPECT_FALSE(each.cause.empty()) << each.name;
    EXPECT_FALSE(each.source.empty()) << each.name;
  }
}

TEST(Findings, HandlingSaysWhatToChangeAndMarksFromBeforeBlameNobody) {
  for (const Finding& each : findings()) {
    if (each.kind == FindingKind::handling) {
      EXPECT_FALSE(each.at_tree.empty()) << each.name;
    }
    if (each.kind == FindingKind::before_harvest) {
      EXPECT_TRUE(each.at_tree.empty() && each.at_mat.empty() && each.in_bin.empty()) << each.name;
    }
  }
}

TEST(Findings, SapBurnBrowningAndBruisesShowLate) {
  std::set<std::string_view> late;
  for (const Finding& each : findings()) {
    if (each.late && each.kind == FindingKind::handling) {
      late.insert(each.name);
    }
  }
  EXPECT_EQ(late, (std::set<std::string_view>{"sap_burn", "browning", "bruise"}));
}

}  // namespace
}  // namespace maturity
