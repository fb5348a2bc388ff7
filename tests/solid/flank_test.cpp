#include "libmaturity/solid/flank.h"

#include <gtest/gtest.h>

#include <cmath>

namespace maturity {
namespace {

// The equation of the section, r^p + |h|^p = 1, and numerical slopes as reference.
TEST(FlankLean, AgreesWithTheEquationAndItsSlopes) {
  constexpr double kStep = 1e-6;
  for (const double exponent : {2.0, 2.2, 3.0}) {
    const FlankView flank{30.0, 800.0, exponent};
    for (const double h : {-0.9, -0.4, -0.01, 0.02, 0.3, 0.7, 0.93}) {
      SCOPED_TRACE(testing::Message() << "p " << exponent << ", h " << h);
      const FlankView::Lean at = flank.lean(h);
      EXPECT_NEAR(std::pow(at.share, exponent) + std::pow(std::abs(h), exponent), 1.0, 1e-12);
      EXPECT_NEAR(at.share, flank.share(h), 1e-12);
      EXPECT_NEAR(at.lean, std::pow(std::abs(h) / at.share, exponent - 1.0), 1e-11 * at.lean);
      const double share_slope = (flank.share(h + kStep) - flank.share(h - kStep)) / (2.0 * kStep);
      EXPECT_NEAR(share_slope, -std::copysign(at.lean, h), 1e-6 * (1.0 + at.lean));
      const double lean_slope =
          (flank.lean(h + kStep).lean - flank.lean(h - kStep).lean) / (2.0 * kStep);
      EXPECT_NEAR(lean_slope, at.lean_change, 1e-5 * (1.0 + std::abs(at.lean_change)));
    }
  }
}

TEST(FlankLean, AtTheWidestSectionNothingLeans) {
  for (const double exponent : {2.0, 2.2, 3.0}) {
    const FlankView::Lean at = FlankView{30.0, 800.0, exponent}.lean(0.0);
    EXPECT_DOUBLE_EQ(at.share, 1.0);
    EXPECT_DOUBLE_EQ(at.lean, 0.0);
  }
}

TEST(FlankLean, AnEllipsoidIsNotTakenForAFullerFlank) {
  EXPECT_GT(std::abs(FlankView{30.0, 800.0, 2.0}.lean(0.6).lean -
                     FlankView{30.0, 800.0, 2.2}.lean(0.6).lean),
            0.05);
}

}  // namespace
}  // namespace maturity
