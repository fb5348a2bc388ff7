// What shape descriptors tell of the traits they are named after, and whether their standard errors
// hold, on invented outlines whose traits vary each by itself and on the sample season's true
// sections. Prints Markdown, the tables of docs/method/shape.md; about a minute.
//
//   shape-on-outlines [fruit for traits] [fruit of each kind for errors] [draws]
#include <cmath>
#include <cstdio>
#include <exception>
#include <random>
#include <string>
#include <vector>

#include "tests/descriptors/error_match.h"
#include "tests/descriptors/extra_information.h"
#include "tests/descriptors/trait_pairs.h"

namespace maturity::shapes {
namespace {

void print_traits(std::size_t count) {
  std::printf("| descriptor | trait | superellipse | partial | cubic curves | partial |\n");
  std::printf("|---|---|---|---|---|---|\n");
  std::vector<std::vector<TraitFruit>> fruit;
  std::vector<std::vector<Descriptors>> measured;
  for (const Invent invent : {superellipse_fruit, curved_fruit}) {
    fruit.push_back(many_fruit(invent, count, 77));
    measured.emplace_back();
    for (const TraitFruit& one : fruit.back()) {
      measured.back().push_back(with_true_pose(one.fruit));
    }
  }
  for (const TraitPair& pair : trait_pairs()) {
    std::printf("| %s | %s |", std::string(name(pair.descriptor)).c_str(), pair.trait.c_str());
    for (std::size_t kind = 0; kind < fruit.size(); ++kind) {
      std::vector<double> value;
      for (const Descriptors& one : measured[kind]) {
        value.push_back(one[pair.descriptor]);
      }
      const TraitOrder order = order_by_trait(fruit[kind], pair.trait, value);
      std::printf(" %.2f | %.2f |", order.plain, order.partial);
    }
    std::printf("\n");
  }
}

void print_added(std::size_t count) {
  constexpr double kEdgeMm = 0.3;  // as photos have, about half a pixel
  std::printf("\nWhat descriptors beside the listed ones add, edges %.1f mm off\n\n", kEdgeMm);
  std::printf(
      "| descriptor | superellipse | listed only | gain | cubic curves | listed only | gain |\n");
  std::printf("|---|---|---|---|---|---|---|\n");
  std::vector<std::vector<TraitFruit>> fruit;
  std::vector<std::vector<Descriptors>> measured;
  std::mt19937_64 random(6);
  for (const Invent invent : {superellipse_fruit, curved_fruit}) {
    fruit.push_back(many_fruit(invent, count, 78));
    measured.push_back(measured_with_noise(fruit.back(), kEdgeMm, random));
  }
  for (const Descriptor added : added_descriptors()) {
    std::printf("| %s |", std::string(name(added)).c_str());
    for (std::size_t kind = 0; kind < fruit.size(); ++kind) {
      const InformationGain gain = information_gain(added, fruit[kind], measured[kind]);
      std::printf(" %s | %.3f | %.3f +- %.3f |", gain.trait.c_str(), gain.listed_only, gain.gain,
                  1.96 * gain.gain_se);
    }
    std::printf("\n");
  }
}

void print_errors(std::size_t count, int draws) {
  const std::vector<std::string> kinds = {"season", "superellipse", "curves", "egg", "ellipse"};
  for (const bool find_pose : {false, true}) {
    std::printf(
        "\nStandard error within 20 %% of the spread of %d draws, fruit in 100, pose %s\n\n", draws,
        find_pose ? "found in each draw" : "stated");
    std::printf("| descriptor |");
    std::vector<std::vector<ErrorMatch>> matches;
    for (const std::string& kind : kinds) {
      std::mt19937_64 random(5);
      matches.push_back(match_errors(outlines_of(kind, count), draws, find_pose, random));
      if (matches.back().empty()) {
        // No end can be told of an ellipse.
        matches.pop_back();
      } else {
        std::printf(" %s (%zu) |", kind.c_str(), matches.back().size());
      }
    }
    std::printf("\n|---|");
    for (std::size_t kind = 0; kind < matches.size(); ++kind) {
      std::printf("---|");
    }
    std::printf("\n");
    for (const DescriptorInfo& info : descriptor_registry()) {
      std::printf("| %s |", std::string(info.name).c_str());
      for (const std::vector<ErrorMatch>& some : matches) {
        std::printf(" %.0f |", 100.0 * share_within(some, info.descriptor));
      }
      std::printf("\n");
    }
  }
}

}  // namespace
}  // namespace maturity::shapes

int main(int count, char** words) {
  try {
    const std::vector<std::string> given(words + 1, words + count);
    const auto number = [&](std::size_t place, int usual) {
      const int value = place < given.size() ? std::stoi(given[place]) : usual;
      return value > 0 ? value : usual;
    };
    maturity::shapes::print_traits(static_cast<std::size_t>(number(0, 1000)));
    maturity::shapes::print_added(2 * static_cast<std::size_t>(number(0, 1000)));
    maturity::shapes::print_errors(static_cast<std::size_t>(number(1, 100)), number(2, 1000));
  } catch (const std::exception& problem) {
    std::fprintf(stderr, "shape-on-outlines: %s\n", problem.what());
    return 1;
  }
  return 0;
}
