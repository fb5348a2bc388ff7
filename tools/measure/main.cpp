// maturity-measure: photos to measurements in JSON, for machines without Python.

#include <unistd.h>

#include <CLI/CLI.hpp>
#include <cmath>
#include <exception>
#include <fstream>
#include <iostream>
#include <string>
#include <vector>

#include "libmaturity/core/version.h"
#include "libmaturity/pipeline/measure_photo.h"
#include "tools/measure/photo_list.h"

namespace {

constexpr int kDone = 0;
constexpr int kLeftOut = 1;
constexpr int kUnusable = 2;

void show_progress(std::size_t finished, std::size_t total, const std::string& path) {
  if (isatty(STDERR_FILENO) != 0) {
    std::cerr << "\r\033[K" << finished << " of " << total << "  " << path << std::flush;
    if (finished == total) {
      std::cerr << "\n";
    }
  }
}

// A few lines a person can read; everything else is in the JSON.
void summarise(const std::vector<maturity::PhotoMeasurement>& photos) {
  for (const auto& photo : photos) {
    std::cout << photo.path << ": ";
    if (photo.error) {
      std::cout << "left out. " << *photo.error << "\n";
      continue;
    }
    std::size_t usable = 0;
    for (const auto& fruit : photo.fruits) {
      usable += fruit.usable ? 1U : 0U;
    }
    std::cout << photo.fruits.size() << " fruit, " << usable << " usable for shape";
    for (const auto flag : photo.flags) {
      std::cout << "; " << maturity::name(flag);
    }
    std::cout << "\n";
  }
}

int run(int argc, char** argv) {
  CLI::App app{
      "Measures fruit on photos of the sample board: outlines, size and shape, as JSON.\n"
      "Example: maturity-measure photos/ --json measured.json"};
  app.set_version_flag("--version", std::string("maturity-measure ") + maturity::version());
  std::vector<std::string> paths;
  std::string json_path;
  maturity::MeasureSettings settings;
  app.add_option("photos", paths, "Photos or folders of photos")->required();
  app.add_option("--json", json_path, "Write the results here; - for standard output");
  app.add_option("--threads", settings.threads, "Photos measured at a time; 0: one per core");
  app.add_option("--max-megapixels", settings.max_megapixels, "Refuse larger photos");
  app.add_option("--max-seconds", settings.max_seconds, "Give up a photo that takes longer");
  app.add_option("--marker-width", settings.marker_width_mm, "Side of a board marker, mm");
  app.add_option("--markers-across", settings.markers_across_mm,
                 "Measured distance of marker centres 0 to 1, mm");
  app.add_option("--markers-down", settings.markers_down_mm,
                 "Measured distance of marker centres 0 to 3, mm");
  app.add_option("--flank-exponent", settings.flank_exponent, "Fullness of the flanks; 2: ellipse");
  app.add_option("--thickness-ratio", settings.thickness_ratio, "Thickness over width of a fruit");
  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    return app.exit(error) == 0 ? kDone : kUnusable;
  }
  const std::vector<std::string> photos = maturity::tools::list_photos(paths);
  if (photos.empty()) {
    throw std::invalid_argument(
        "no photo was found in what was named; photos end in .jpg, .png, "
        ".tif or .webp");
  }
  std::size_t finished = 0;
  const auto results = maturity::measure_photos(
      photos, settings, [&](std::size_t, const maturity::PhotoMeasurement& photo) {
        show_progress(++finished, photos.size(), photo.path);
        return true;
      });
  if (json_path == "-") {
    std::cout << maturity::to_json(results) << "\n";
  } else {
    summarise(results);
    if (!json_path.empty()) {
      std::ofstream file(json_path, std::ios::binary);
      file << maturity::to_json(results, true) << "\n";
      if (!file.flush()) {
        throw std::runtime_error(json_path + ": cannot be written (no permission, or disk full)");
      }
    }
  }
  for (const auto& photo : results) {
    if (photo.error) {
      return kLeftOut;
    }
  }
  return kDone;
}

}  // namespace

int main(int argc, char** argv) {
  try {
    return run(argc, argv);
  } catch (const std::exception& error) {
    std::cerr << "maturity-measure: " << error.what() << "\n";
    return kUnusable;
  }
}
