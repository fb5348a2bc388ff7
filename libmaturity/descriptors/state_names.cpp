#include "libmaturity/descriptors/state_names.h"

#include <array>
#include <cmath>
#include <limits>
#include <utility>

namespace maturity {

namespace {

using D = Descriptor;

constexpr std::string_view kScheme = "IPGRI Descriptors for Mango";
constexpr std::string_view kEdition = "2006";
constexpr std::string_view kRead = "read";
constexpr std::string_view kFromMemory = "from memory";
constexpr double kNoLimit = std::numeric_limits<double>::infinity();

// All boundaries are the project's own; docs/method/shape.md lists them.
constexpr double kRoundish = 1.12;    // elongation below
constexpr double kUnlikeEnds = 0.04;  // end_balance beyond
constexpr double kFullEnds = 0.64;    // mean of shoulder_fill and nose_fill above (ellipse 0.614)
constexpr double kRisingShoulder = 0.005;  // shoulder_rise_ventral above
constexpr double kFallingShoulder = 0.58;  // shoulder_fill_ventral below

constexpr double kBeakStandsOut = 0.002;  // beak_prominence above (ellipses up to 0.001)

/// A state holds below its limit.
struct Step {
  double below;
  std::string_view state;
  std::string_view known;
};

constexpr std::array kApex = {Step{0.45, "acute", kRead}, Step{0.70, "obtuse", kRead},
                              Step{kNoLimit, "round", kRead}};
constexpr std::array kCavity = {Step{0.0015, "absent", kRead}, Step{0.006, "shallow", kRead},
                                Step{0.012, "medium", kRead}, Step{0.023, "deep", kFromMemory},
                                Step{kNoLimit, "very deep", kFromMemory}};
constexpr std::array kBeak = {Step{0.008, "perceptible", kRead}, Step{0.020, "pointed", kRead},
                              Step{kNoLimit, "prominent", kFromMemory}};
constexpr std::array kSinus = {Step{0.003, "absent", kRead}, Step{0.012, "shallow", kRead},
                               Step{kNoLimit, "deep", kFromMemory}};

class Naming {
 public:
  void name(std::string_view character, std::string_view state, std::string_view known) {
    names_.push_back({character, state, kScheme, kEdition, known});
  }
  template <typename Steps>
  void by_steps(std::string_view character, double value, const Steps& steps) {
    for (const Step& step : steps) {
      if (value < step.below) {
        name(character, step.state, step.known);
        return;
      }
    }
  }
  std::vector<StateName> take() { return std::move(names_); }

 private:
  std::vector<StateName> names_;
};

void name_fruit_shape(Naming& naming, const Descriptors& values) {
  const double fill = 0.5 * (values[D::shoulder_fill] + values[D::nose_fill]);
  const double balance = values[D::end_balance];
  if (std::isnan(values[D::elongation] + fill + balance)) {
    return;
  }
  const std::string_view character = "fruit shape";
  if (values[D::elongation] < kRoundish) {
    naming.name(character, "roundish", kRead);
  } else if (balance > kUnlikeEnds) {
    naming.name(character, "ovoid", kFromMemory);
  } else if (balance < -kUnlikeEnds) {
    naming.name(character, "obovoid", kRead);
  } else {
    naming.name(character, fill > kFullEnds ? "oblong" : "elliptic", kRead);
  }
}

void name_ventral_shoulder(Naming& naming, const Descriptors& values) {
  const double rise = values[D::shoulder_rise_ventral];
  const double fill = values[D::shoulder_fill_ventral];
  if (std::isnan(rise + fill)) {
    return;
  }
  const bool rising = rise > kRisingShoulder;
  naming.name("slope of ventral shoulder",
              rising                    ? "rising and then rounded"
              : fill < kFallingShoulder ? "sloping abruptly"
                                        : "long curve",
              kRead);
}

}  // namespace

std::string_view state_name_warning() {
  return "State names follow a published list for describing varieties; where one state ends and "
         "the next begins is this project's own choice, not the list's. They describe varieties, "
         "not how mature a fruit is.";
}

std::vector<StateName> state_names(const Descriptors& values) {
  Naming naming;
  name_fruit_shape(naming, values);
  naming.by_steps("apex shape", values[D::nose_roundness], kApex);
  naming.by_steps("depth of stalk cavity", values[D::stem_hollow], kCavity);
  name_ventral_shoulder(naming, values);
  if (values[D::beak_prominence] > kBeakStandsOut) {
    naming.by_steps("beak type", values[D::beak_prominence], kBeak);
  }
  naming.by_steps("sinus type", values[D::sinus_depth], kSinus);
  return naming.take();
}

}  // namespace maturity
