#include "libmaturity/descriptors/state_names.h"

#include <array>
#include <cmath>
#include <limits>

namespace maturity {

namespace {

constexpr std::string_view kScheme = "IPGRI Descriptors for Mango";
constexpr std::string_view kEdition = "2006";
constexpr double kNoLimit = std::numeric_limits<double>::infinity();

/// A state holds below its limit; the project's own boundaries.
struct Step {
  Descriptor descriptor;
  double below;
  StateName name;
};

constexpr StateName named(std::string_view character, std::string_view state,
                          std::string_view known) {
  return {character, state, kScheme, kEdition, known};
}

using D = Descriptor;

constexpr std::array kSteps = {
    Step{D::stem_hollow, 0.003, named("depth of stalk cavity", "absent", "read")},
    Step{D::stem_hollow, 0.015, named("depth of stalk cavity", "shallow", "read")},
    Step{D::stem_hollow, 0.030, named("depth of stalk cavity", "medium", "read")},
    Step{D::stem_hollow, 0.050, named("depth of stalk cavity", "deep", "from memory")},
    Step{D::stem_hollow, kNoLimit, named("depth of stalk cavity", "very deep", "from memory")},
    Step{D::nose_roundness, 0.45, named("apex shape", "acute", "read")},
    Step{D::nose_roundness, 0.70, named("apex shape", "obtuse", "read")},
    Step{D::nose_roundness, kNoLimit, named("apex shape", "round", "read")},
    Step{D::beak_prominence, 0.006, named("beak type", "perceptible", "read")},
    Step{D::beak_prominence, 0.018, named("beak type", "pointed", "read")},
    Step{D::beak_prominence, kNoLimit, named("beak type", "prominent", "from memory")},
    Step{D::sinus_depth, 0.003, named("sinus type", "absent", "read")},
    Step{D::sinus_depth, 0.012, named("sinus type", "shallow", "read")},
    Step{D::sinus_depth, kNoLimit, named("sinus type", "deep", "from memory")},
};

constexpr std::array kMapped = {D::stem_hollow, D::nose_roundness, D::beak_prominence,
                                D::sinus_depth};

}  // namespace

std::string_view state_name_warning() {
  return "State names follow a published list for describing varieties; where one state ends and "
         "the next begins is this project's own choice, not the list's.";
}

std::optional<StateName> state_name(Descriptor descriptor, double value) {
  if (std::isnan(value)) {
    return std::nullopt;
  }
  if (descriptor == D::beak_prominence && value <= 0.0) {
    return std::nullopt;  // nothing stands out, and the scale has no word for that
  }
  for (const Step& step : kSteps) {
    if (step.descriptor == descriptor && value < step.below) {
      return step.name;
    }
  }
  return std::nullopt;
}

std::span<const Descriptor> descriptors_with_state_names() { return kMapped; }

}  // namespace maturity
