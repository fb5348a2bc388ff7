#include "tests/shapes/one_cultivar.h"

namespace maturity::shapes {

namespace {

using F = FruitParameters;

F one_cultivar(std::mt19937_64& random) {
  const auto between = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  F f;
  f.elongation = between(1.25, 1.45);
  f.taper = between(-0.02, 0.22);
  f.shoulder_ventral = between(1.8, 2.8);
  f.shoulder_dorsal = between(1.8, 2.8);
  f.nose = between(1.7, 2.4);
  f.bow = between(0.04, 0.08);
  f.slope = between(0.01, 0.03);
  f.hollow = between(0.0, 0.05);
  f.hollow_width = between(0.10, 0.12);
  f.stem_beside = between(0.0, 0.1);
  f.beak = between(0.0, 0.05);
  f.beak_width = between(0.06, 0.07);
  f.beak_place = between(0.78, 0.82);
  f.sinus = between(0.0, 0.04);
  f.sinus_width = between(0.08, 0.10);
  f.sinus_gap = between(0.15, 0.17);
  f.waviness = 0.001;
  return f;
}

/// A cultivar of the other kind of fruit: another body, the same features.
CurvedParameters curved_cultivar(std::mt19937_64& random) {
  const auto between = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  CurvedParameters c;
  c.elongation = between(1.22, 1.5);
  c.widest = between(0.40, 0.50);
  c.shoulder_ventral = between(0.50, 0.70);
  c.shoulder_dorsal = between(0.50, 0.70);
  c.nose = between(0.44, 0.62);
  c.flank = between(0.52, 0.58);
  c.bow = between(0.0, 0.03);
  c.stem_place = between(-0.03, 0.06);
  c.features = one_cultivar(random);
  c.features.hollow = between(0.0, 0.035);
  c.features.sinus = between(0.0, 0.025);
  return c;
}

std::map<std::string, double> features_of(const F& f) {
  return {{"hollow", f.hollow},           {"hollow_width", f.hollow_width}, {"beak", f.beak},
          {"beak_width", f.beak_width},   {"beak_place", f.beak_place},     {"sinus", f.sinus},
          {"sinus_width", f.sinus_width}, {"sinus_gap", f.sinus_gap}};
}

}  // namespace

TraitFruit superellipse_fruit(std::mt19937_64& random) {
  const F f = one_cultivar(random);
  TraitFruit one{invent_fruit(f, 120.0, 512, random), features_of(f)};
  one.traits.insert({{"shoulder_ventral", f.shoulder_ventral},
                     {"shoulder_dorsal", f.shoulder_dorsal},
                     {"nose", f.nose},
                     {"taper", f.taper},
                     {"elongation", f.elongation},
                     {"bow", f.bow},
                     {"slope", f.slope},
                     {"stem_beside", f.stem_beside}});
  return one;
}

TraitFruit curved_fruit(std::mt19937_64& random) {
  const CurvedParameters c = curved_cultivar(random);
  TraitFruit one{invent_curved_fruit(c, 120.0, 512, random), features_of(c.features)};
  one.traits.insert({{"shoulder_ventral", c.shoulder_ventral},
                     {"shoulder_dorsal", c.shoulder_dorsal},
                     {"nose", c.nose},
                     {"taper", -c.widest},
                     {"elongation", c.elongation},
                     {"bow", c.bow},
                     {"flank", c.flank},
                     {"stem_beside", c.stem_place}});
  return one;
}

std::vector<TraitFruit> many_fruit(Invent invent, std::size_t count,
                                   std::mt19937_64::result_type seed) {
  std::mt19937_64 random(seed);
  std::vector<TraitFruit> fruit;
  fruit.reserve(count);
  for (std::size_t i = 0; i < count; ++i) {
    fruit.push_back(invent(random));
  }
  return fruit;
}

}  // namespace maturity::shapes
