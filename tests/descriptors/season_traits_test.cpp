// Descriptors against the true traits of the rendered sample season, from the true sections: the
// renderer knows nothing of the library's definitions.
#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <string>
#include <vector>

#include "libmaturity/descriptors/describe_outline.h"
#include "tests/descriptors/rank_correlation.h"
#include "tests/shapes/season_sections.h"

namespace maturity {
namespace {

using shapes::season_fruit;
using shapes::SeasonFruit;

/// Section in the fruit frame of the truth: stem at (0, 0), nose at the greatest x, ventral +y.
Descriptors of_section(const Polygon& section, bool ends_exchanged) {
  const auto by_x = [](const Point& a, const Point& b) { return a.x() < b.x(); };
  const Point nose = *std::max_element(section.begin(), section.end(), by_x);
  DescribeOptions options;
  options.with_errors = false;
  options.evidence.given_stem = ends_exchanged ? nose : Point(0.0, 0.0);
  options.evidence.given_nose = ends_exchanged ? Point(0.0, 0.0) : nose;
  options.evidence.given_ventral_side = ends_exchanged ? -1 : +1;
  return describe_outline(section, options).descriptors;
}

double mean_of(const std::map<std::string, double>& traits, const std::vector<std::string>& names) {
  double sum = 0.0;
  for (const std::string& one : names) {
    sum += traits.at(one);
  }
  return sum / static_cast<double>(names.size());
}

struct SeasonPair {
  Descriptor descriptor;
  std::vector<std::string> traits;
};

using D = Descriptor;

const std::vector<SeasonPair>& season_pairs() {
  static const std::vector<SeasonPair> pairs = {
      {D::stem_hollow, {"stem_hollow"}},
      {D::shoulder_fill_ventral, {"shoulder_ventral"}},
      {D::shoulder_fill_dorsal, {"shoulder_dorsal"}},
      {D::shoulder_fill, {"shoulder_ventral", "shoulder_dorsal"}},
      {D::nose_fill, {"nose_ventral", "nose_dorsal"}},
      {D::nose_roundness, {"nose_ventral", "nose_dorsal"}},
      {D::beak_prominence, {"beak_prominence"}},
      {D::beak_curvature, {"beak_prominence"}},
      {D::sinus_depth, {"sinus_depth"}},
      {D::end_balance, {"end_balance"}},
      {D::fourier_taper, {"end_balance"}}};
  return pairs;
}

std::vector<double> season_correlations(bool ends_exchanged) {
  const std::vector<SeasonFruit> fruit = season_fruit();
  EXPECT_GT(fruit.size(), 150U);
  std::vector<Descriptors> measured;
  measured.reserve(fruit.size());
  for (const SeasonFruit& one : fruit) {
    measured.push_back(of_section(one.section, ends_exchanged));
  }
  std::vector<double> found;
  for (const SeasonPair& pair : season_pairs()) {
    std::vector<double> value;
    std::vector<double> trait;
    for (std::size_t i = 0; i < fruit.size(); ++i) {
      value.push_back(measured[i][pair.descriptor]);
      trait.push_back(mean_of(fruit[i].traits, pair.traits));
    }
    found.push_back(rank_correlation(value, trait));
  }
  return found;
}

TEST(SeasonTraits, DescriptorsOrderRenderedFruitByTheirTraits) {
  const std::vector<double> found = season_correlations(false);
  for (std::size_t i = 0; i < found.size(); ++i) {
    const std::string what(name(season_pairs()[i].descriptor));
    RecordProperty(what, std::to_string(found[i]));
    EXPECT_GE(found[i], 0.85) << what;
  }
}

TEST(SeasonTraits, EndsExchangedWouldBeSeen) {
  const std::vector<double> found = season_correlations(true);
  // Traits of a fruit go together (a common signal of maturity), so some still order fruit by what
  // they mistake for their own trait.
  const auto above = std::count_if(found.begin(), found.end(), [](double r) { return r >= 0.85; });
  EXPECT_LT(2 * above, static_cast<std::ptrdiff_t>(found.size()));
}

}  // namespace
}  // namespace maturity
