#include "libmaturity/outline/candidates.h"

#include <gtest/gtest.h>

#include "libmaturity/photo/colour_field.h"
#include "tests/outline/drawn_fruit.h"

namespace maturity {
namespace {

TEST(Candidates, AFruitIsOneOfThemAndTheTimeLimitStopsTheSearch) {
  made::DrawnFruit fruit;
  fruit.centre = Point(500.0, 375.0);
  const ColourField field = colour_field(made::photo_of_fruit({fruit}, {}), 400);
  // On a third of the pixels its half-axes are 37 and 27.
  const AreaRange range{1000.0, 20000.0};
  bool found = false;
  for (const Candidate& one : find_candidates(field, range, TimeLimit())) {
    found = found || (one.centre - field.field_from_photo(fruit.centre)).norm() < 3.0;
  }
  EXPECT_TRUE(found);
  EXPECT_THROW(find_candidates(field, range, TimeLimit(0.0)), PhotoTimeUp);
}

}  // namespace
}  // namespace maturity
