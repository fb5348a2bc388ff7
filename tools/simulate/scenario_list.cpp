#include "tools/simulate/scenario.h"

namespace maturity::simulate {

std::vector<Scenario> plain_scenarios() {
  std::vector<Scenario> all;
  const auto add = [&](const std::string& name, const std::string& what, int trees, int fruit,
                       int oven) -> Scenario& {
    Scenario scenario;
    scenario.name = name;
    scenario.what = what;
    scenario.trees = trees;
    scenario.fruit_per_tree = fruit;
    scenario.oven = oven;
    all.push_back(scenario);
    return all.back();
  };
  add("A", "5 trees x 2, all 10 in the oven", 5, 2, 10);
  add("B", "15 trees x 3, 15 oven", 15, 3, 15);
  add("C", "30 trees x 3, 30 oven", 30, 3, 30);
  Scenario& d = add("D", "15 trees x 3, 10 oven, 45 metered, bias +1.5", 15, 3, 10);
  d.metered = true;
  d.meter_bias = 1.5;
  Scenario& e = add("E", "30 trees x 3, 20 oven, 90 metered, bias -1.5", 30, 3, 20);
  e.metered = true;
  e.meter_bias = -1.5;
  Scenario& g = add("G", "6 trees x 5, all 30 oven, half of the variance between trees", 6, 5, 30);
  g.between_trees = 0.5;
  Scenario& h = add("H", "20 trees x 1 to 6, 20 oven drawn from all", 20, 0, 20);
  h.choice = OvenChoice::at_random;
  Scenario& i =
      add("I", "12 trees x 4, 12 oven, 48 metered, bias +0.5, good meter (0.7)", 12, 4, 12);
  i.metered = true;
  i.meter_bias = 0.5;
  i.meter_sd = 0.7;
  Scenario& j = add("J", "25 trees x 2, 25 oven, shape explains 0.6", 25, 2, 25);
  j.explained = 0.6;
  Scenario& k = add("K", "25 trees x 2, 25 oven, shape explains nothing", 25, 2, 25);
  k.explained = 0.0;
  return all;
}

std::vector<Scenario> awkward_scenarios() {
  std::vector<Scenario> all;
  Scenario base;
  base.trees = 30;
  base.oven = 30;
  const auto add = [&](const std::string& name, const std::string& what) -> Scenario& {
    all.push_back(base);
    all.back().name = name;
    all.back().what = what;
    return all.back();
  };
  add("C left", "as C, dry matter skewed to the left").spread = Spread::left_skew;
  add("C right", "as C, skewed to the right").spread = Spread::right_skew;
  add("C humps", "as C, 30 % of fruit from a later flowering").spread = Spread::two_humps;
  add("C even", "as C, spread 0.7").spread_sd = 0.7;
  add("C uneven", "as C, spread 2.2").spread_sd = 2.2;
  add("C picked", "as C, oven fruit picked by shape, not declared").choice = OvenChoice::by_shape;
  base.oven = 20;
  base.metered = true;
  base.meter_bias = 1.5;
  Scenario& slope = add("E slope", "as E, meter slope 0.8 (about the minimum)");
  slope.meter_slope = 0.8;
  add("E bad meter", "as E, meter error 1.4").meter_sd = 1.4;
  base = Scenario{};
  base.trees = 30;
  base.oven = 30;
  add("C flat", "as C, flat-topped spread").spread = Spread::flat;
  for (const double curve : {0.5, -0.5}) {
    Scenario& bent = curve > 0.0 ? add("C bent", "as J, 30 trees x 3; curved, low fruit fall away")
                                 : add("C bent up", "as C bent, curved the other way");
    bent.explained = 0.6;
    bent.curve = curve;
  }
  return all;
}

std::vector<Scenario> meter_scenarios() {
  std::vector<Scenario> all;
  Scenario base;
  base.trees = 30;
  base.oven = 20;
  base.metered = true;
  base.meter_bias = 1.5;
  base.second_bias = -1.5;
  base.second_every = 2;
  const auto add = [&](const std::string& name, const std::string& what) -> Scenario& {
    all.push_back(base);
    all.back().name = name;
    all.back().what = what;
    return all.back();
  };
  add("T", "30 trees, 3 fruit, 20 oven; every other tree by the second meter, biases 1.5 and -1.5");
  add("T third", "as T, every third tree by the second").second_every = 3;
  Scenario& slopes = add("T slopes", "as T, slopes 1 and 0.7 (about the minimum)");
  slopes.second_slope = 0.7;
  Scenario& errors = add("T errors", "as T, errors 0.7 and 1.4");
  errors.meter_sd = 0.7;
  errors.second_sd = 1.4;
  add("T unchecked", "as T, the second meter read no oven fruit").second_unchecked = true;
  Scenario& few = add("T few", "as T, 15 trees, 6 oven");
  few.trees = 15;
  few.oven = 6;
  return all;
}

}  // namespace maturity::simulate
