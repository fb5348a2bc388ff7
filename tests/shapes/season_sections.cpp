#include "tests/shapes/season_sections.h"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

namespace maturity::shapes {

std::vector<SeasonFruit> season_fruit() {
  std::vector<std::filesystem::path> files;
  const auto folder = std::filesystem::path(MATURITY_SOURCE_DIR) / "sample-images" / "truth";
  for (const auto& entry : std::filesystem::recursive_directory_iterator(folder)) {
    if (entry.path().extension() == ".json") {
      files.push_back(entry.path());
    }
  }
  std::sort(files.begin(), files.end());
  std::vector<SeasonFruit> fruit;
  for (const auto& file : files) {
    const nlohmann::json truth = nlohmann::json::parse(std::ifstream(file));
    if (!truth.contains("fruits")) {
      continue;
    }
    for (const nlohmann::json& one : truth.at("fruits")) {
      SeasonFruit f;
      for (const nlohmann::json& p : one.at("section_mm")) {
        f.section.emplace_back(p.at(0).get<double>(), p.at(1).get<double>());
      }
      f.traits = one.at("shape").get<std::map<std::string, double>>();
      fruit.push_back(std::move(f));
    }
  }
  return fruit;
}

}  // namespace maturity::shapes
