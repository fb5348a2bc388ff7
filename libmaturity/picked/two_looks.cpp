#include "libmaturity/picked/two_looks.h"

#include <algorithm>
#include <cmath>

#include "libmaturity/stats/proportion.h"
#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

void check_look(const LookCount& look) {
  if (!(look.checked >= 1.0)) {
    reject_argument("checked", look.checked, "at least 1 fruit");
  }
  if (!(look.found >= 0.0 && look.found <= look.checked)) {
    reject_argument("found", look.found, "0 to the number checked");
  }
}

Bounds difference_interval(const LookCount& arrival, const LookCount& held, double level,
                           double design_effect) {
  const double before = arrival.found / arrival.checked;
  const double after = held.found / held.checked;
  const Bounds early =
      proportion_interval(arrival.found / design_effect, arrival.checked / design_effect, level);
  const Bounds late =
      proportion_interval(held.found / design_effect, held.checked / design_effect, level);
  const double down = std::hypot(after - late.low, early.high - before);
  const double up = std::hypot(late.high - after, before - early.low);
  return {after - before - down, after - before + up};
}

}  // namespace

LateDamage compare_looks(const LookCount& arrival, const LookCount& held,
                         const LateOptions& options) {
  check_look(arrival);
  check_look(held);
  if (!(options.level > 0.0 && options.level < 1.0)) {
    reject_argument("level", options.level, "within 0 to 1");
  }
  if (options.comparisons < 1) {
    reject_argument("comparisons", options.comparisons, "at least 1");
  }
  if (!(options.design_effect >= 1.0)) {
    reject_argument("design_effect", options.design_effect, "at least 1");
  }
  LateDamage late;
  late.difference = held.found / held.checked - arrival.found / arrival.checked;
  late.interval = difference_interval(arrival, held, options.level, options.design_effect);
  if (std::min(arrival.checked, held.checked) >= options.fewest_fruit) {
    const double strict = 1.0 - (1.0 - options.level) / options.comparisons;
    late.rose = difference_interval(arrival, held, strict, options.design_effect).low > 0.0;
  }
  return late;
}

}  // namespace maturity
