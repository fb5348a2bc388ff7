#include "libmaturity/drymatter/oven_method.h"

#include <algorithm>
#include <cctype>

#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

constexpr double kHot = 105.0;
constexpr double kCool = 50.0;
constexpr double kColdest = 20.0;
constexpr double kHottest = 300.0;

std::string lower_case(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(),
                 [](unsigned char letter) { return static_cast<char>(std::tolower(letter)); });
  return text;
}

}  // namespace

std::string_view name(MethodDoubt doubt) {
  switch (doubt) {
    case MethodDoubt::hot:
      return "hot";
    case MethodDoubt::cool:
      return "cool";
    case MethodDoubt::microwave:
      return "microwave";
    case MethodDoubt::no_end:
      return "no_end";
  }
  return "";
}

std::string_view sentence(MethodDoubt doubt) {
  switch (doubt) {
    case MethodDoubt::hot:
      return "dried above 105 degrees C: charring loses more than water and dry matter reads low";
    case MethodDoubt::cool:
      return "dried below 50 degrees C: check that the weight no longer falls";
    case MethodDoubt::microwave:
      return "dried in a microwave: readings depend on handling and charring; compare with an oven";
    case MethodDoubt::no_end:
      return "neither drying time nor end rule is recorded, so nothing shows that drying was "
             "complete";
  }
  return "";
}

std::vector<MethodDoubt> doubts(const OvenMethod& method) {
  if (method.temperature_c &&
      !(*method.temperature_c >= kColdest && *method.temperature_c <= kHottest)) {
    reject_argument("temperature_c", *method.temperature_c, "20 to 300 degrees C");
  }
  if (method.hours && !(*method.hours > 0.0)) {
    reject_argument("hours", *method.hours, "above 0 h");
  }
  if (method.balance_step_g && !(*method.balance_step_g > 0.0)) {
    reject_argument("balance_step_g", *method.balance_step_g, "above 0 g");
  }
  std::vector<MethodDoubt> found;
  if (method.temperature_c && *method.temperature_c > kHot) {
    found.push_back(MethodDoubt::hot);
  }
  if (method.temperature_c && *method.temperature_c < kCool) {
    found.push_back(MethodDoubt::cool);
  }
  if (lower_case(method.dryer).find("microwave") != std::string::npos) {
    found.push_back(MethodDoubt::microwave);
  }
  if (!method.hours && method.end_rule.empty()) {
    found.push_back(MethodDoubt::no_end);
  }
  return found;
}

bool comparable(const OvenMethod& one, const OvenMethod& other) {
  return lower_case(one.dryer) == lower_case(other.dryer) &&
         one.temperature_c == other.temperature_c && one.skin_on == other.skin_on &&
         one.end_rule == other.end_rule;
}

}  // namespace maturity
