// maturity-simulate: invented blocks with known truth, put through the block estimate; prints
// coverage, reliability and false-ready tables in Markdown. Evidence for docs/method, not a test.
#include <CLI/CLI.hpp>
#include <exception>
#include <fstream>
#include <iostream>
#include <stdexcept>
#include <string>
#include <vector>

#include "tools/simulate/calibration_ranges.h"
#include "tools/simulate/cheeks_and_crop.h"
#include "tools/simulate/flowerings.h"
#include "tools/simulate/mean_and_selective.h"
#include "tools/simulate/real_meters.h"
#include "tools/simulate/several_meters.h"
#include "tools/simulate/tables.h"

int main(int argc, char** argv) {
  using namespace maturity::simulate;
  try {
    CLI::App app{
        "Put invented blocks with known truth through the block estimate.\n"
        "Example: maturity-simulate --table coverage --replicates 400 --seed 20250101"};
    Settings settings;
    std::string table = "all";
    app.add_option("--replicates", settings.replicates, "Blocks per row")
        ->check(CLI::Range(1, 1000000))
        ->capture_default_str();
    app.add_option("--seed", settings.seed, "First seed")->capture_default_str();
    app.add_option("--table", table, "Which table")
        ->check(CLI::IsMember({"all", "coverage", "reliability", "false-ready", "forecast", "pairs",
                               "meters", "cheeks", "crop", "mean", "selective", "calibrate",
                               "flowerings", "humps"}))
        ->capture_default_str();
    std::string pairs;
    app.add_option("--pairs", pairs,
                   "CSV of real pairs for the table of that name: population, instrument, "
                   "reference_no, dm_reference_pct, dm_nir_pred_pct")
        ->check(CLI::ExistingFile);
    bool automatic = false;
    app.add_flag("--shape-auto", automatic, "Use shape as by default, instead of always");
    app.add_option("--meter-slope", settings.method.meter_slope, "Prior mean of the meter's slope")
        ->capture_default_str();
    app.add_option("--meter-slope-sd", settings.method.meter_slope_sd, "and its SD; 0: exact")
        ->capture_default_str();
    app.add_option("--meter-sep", settings.method.meter_sep, "Error of the meter, %");
    app.add_option("--meter-sep-n", settings.method.meter_sep_n, "and the fruit it rests on");
    bool plain_error = false;
    app.add_flag("--meter-error-plain", plain_error,
                 "Error of the meter as in the plain model, 1.0 % give or take 20 %");
    app.add_option("--scenario", settings.only, "Only scenarios whose name begins so");
    CLI11_PARSE(app, argc, argv);
    settings.method.shape_always = !automatic;
    if (plain_error) {
      settings.method.meter_sep.reset();
      settings.method.meter_sep_n.reset();
    }
    const auto wanted = [&](const std::string& name) { return table == "all" || table == name; };
    std::ostream& out = std::cout;
    if (wanted("coverage")) {
      out << "### Coverage\n\n";
      print_coverage(out, plain_scenarios(), settings);
      out << "\n### Coverage where an assumption is broken\n\n";
      print_coverage(out, awkward_scenarios(), settings);
    }
    if (wanted("reliability")) {
      out << "\n### Reliability of readiness\n\n";
      print_reliability(out, plain_scenarios(), settings);
      out << "\n### Reliability where an assumption is broken\n\n";
      print_reliability(out, awkward_scenarios(), settings);
    }
    if (wanted("false-ready")) {
      out << "\n### How often \"ready\" is said (0.90 asked for)\n\n";
      print_false_ready(out, plain_scenarios(), settings);
      out << "\n### The same where an assumption is broken\n\n";
      print_false_ready(out, awkward_scenarios(), settings);
    }
    if (table == "pairs" || !pairs.empty()) {
      std::ifstream file(pairs);
      if (!file) {
        throw std::runtime_error("the table pairs needs a file: --pairs FILE.csv");
      }
      const std::vector<Population> populations = read_pairs(file);
      out << "\n### Real meters and ovens\n\n";
      print_meter_errors(out, populations);
      out << "\n### A bias borrowed from other populations\n\n";
      print_borrowed_bias(out, populations, settings);
      out << "\n### Blocks drawn from real fruit (0.90 asked for)\n\n";
      print_population_blocks(out, populations, settings);
    }
    if (wanted("meters")) {
      out << "\n### Two meters in one visit\n\n";
      print_several_meters(out, settings);
    }
    if (wanted("mean")) {
      out << "\n### Rule mean\n\n";
      print_mean_rule(out, plain_scenarios(), settings);
    }
    if (wanted("selective")) {
      out << "\n### Selective pass\n\n";
      print_selective(out, plain_scenarios(), settings);
    }
    if (wanted("calibrate")) {
      out << "\n### Ranges of calibrations\n\n";
      print_calibration_ranges(out, settings);
    }
    if (wanted("cheeks")) {
      out << "\n### Two cheeks\n\n";
      print_cheeks(out, settings);
    }
    if (wanted("crop")) {
      out << "\n### Crop of the trees\n\n";
      print_crop(out, settings);
    }
    if (wanted("flowerings")) {
      out << "\n### Flowerings\n\n";
      print_flowerings(out, settings);
    }
    if (wanted("humps")) {
      out << "\n### Two humps\n\n";
      print_humps(out, settings);
    }
    if (wanted("forecast")) {
      out << "\n### Forecast\n\n";
      print_forecast(out, settings);
    }
  } catch (const std::exception& error) {
    std::cerr << "maturity-simulate: " << error.what() << '\n';
    return 2;
  }
  return 0;
}
