#include "libmaturity/descriptors/measure_shape.h"

#include <cmath>
#include <limits>
#include <optional>

#include "libmaturity/descriptors/axis_asymmetry.h"
#include "libmaturity/descriptors/beak.h"
#include "libmaturity/descriptors/beak_curvature.h"
#include "libmaturity/descriptors/beak_prominence.h"
#include "libmaturity/descriptors/bend.h"
#include "libmaturity/descriptors/cheek_asymmetry.h"
#include "libmaturity/descriptors/circularity.h"
#include "libmaturity/descriptors/elongation.h"
#include "libmaturity/descriptors/end_balance.h"
#include "libmaturity/descriptors/fourier.h"
#include "libmaturity/descriptors/nose_fill.h"
#include "libmaturity/descriptors/nose_roundness.h"
#include "libmaturity/descriptors/shoulder_asymmetry.h"
#include "libmaturity/descriptors/shoulder_fill.h"
#include "libmaturity/descriptors/shoulder_rise.h"
#include "libmaturity/descriptors/sinus_depth.h"
#include "libmaturity/descriptors/solidity.h"
#include "libmaturity/descriptors/stem_hollow.h"
#include "libmaturity/descriptors/turning_nose.h"

namespace maturity {

namespace {

using D = Descriptor;

/// One outline being measured: the gradient is used again for each descriptor.
class Measuring {
 public:
  Measuring(const FramedOutline& outline, GradientSink* sink, Descriptors& result)
      : outline_(outline), sink_(sink), result_(result) {
    if (sink != nullptr) {
      gradient_.emplace(outline, sink->noise(), &sink->pose());
    }
  }

  template <typename Measure>
  void take(Descriptor descriptor, const Measure& measure) {
    if (!gradient_) {
      result_[descriptor] = measure(nullptr);
      return;
    }
    gradient_->clear();
    result_[descriptor] = measure(&*gradient_);
    sink_->take(descriptor, *gradient_);
  }

  /// As take, but only where the value beats the one that is there already.
  template <typename Measure>
  void take_greater(Descriptor descriptor, const Measure& measure) {
    const double value = measure(nullptr);
    if (value > result_[descriptor] || std::isnan(result_[descriptor])) {
      take(descriptor, measure);
    }
  }

  /// Tells the sink of length and width.
  void take_size(GradientSink& sink) {
    gradient_->clear();
    add_length(&*gradient_, 1.0);
    sink.take_length(*gradient_);
    gradient_->clear();
    add_half_width(&*gradient_, +1, 1.0);
    add_half_width(&*gradient_, -1, 1.0);
    sink.take_width(*gradient_);
  }

  const FramedOutline& outline() const { return outline_; }

 private:
  const FramedOutline& outline_;
  GradientSink* sink_;
  Descriptors& result_;
  std::optional<EdgeGradient> gradient_;
};

/// What neither end nor side nor axis changes, and what says of itself how it answers to a turn.
void measure_free_of_turn(Measuring& on, const BendLine& line) {
  const FramedOutline& outline = on.outline();
  on.take(D::circularity, [&](EdgeGradient* g) { return measure_circularity(outline, g); });
  on.take(D::solidity, [&](EdgeGradient* g) { return measure_solidity(outline, line, g); });
  on.take(D::axis_asymmetry, [&](EdgeGradient* g) { return measure_axis_asymmetry(outline, g); });
}

void measure_both_sides(Measuring& on, const InscribedDisc& whole, const ShoulderFills& fills) {
  const FramedOutline& outline = on.outline();
  on.take(D::elongation, [&](EdgeGradient* g) { return measure_elongation(outline, g); });
  on.take(D::shoulder_fill, [&](EdgeGradient* g) {
    if (g != nullptr) {
      fills.add_mean(*g, 1.0);
    }
    return fills.mean();
  });
  on.take(D::stem_hollow, [&](EdgeGradient* g) { return measure_stem_hollow(outline, fills, g); });
  on.take(D::nose_fill, [&](EdgeGradient* g) { return measure_nose_fill(outline, g); });
  on.take(D::nose_roundness,
          [&](EdgeGradient* g) { return measure_nose_roundness(outline, whole, g); });
  on.take(D::end_balance, [&](EdgeGradient* g) { return measure_end_balance(outline, g); });
  on.take(D::turning_nose, [&](EdgeGradient* g) { return measure_turning_nose(outline, g); });
  const FramedFourier fourier(outline);
  on.take(D::fourier_taper, [&](EdgeGradient* g) {
    if (g != nullptr) {
      fourier.add_taper(*g);
    }
    return fourier.shape().taper;
  });
  on.take(D::fourier_squareness, [&](EdgeGradient* g) {
    if (g != nullptr) {
      fourier.add_squareness(*g);
    }
    return fourier.shape().squareness;
  });
  on.take(D::fourier_asymmetry, [&](EdgeGradient* g) {
    if (g != nullptr) {
      fourier.add_asymmetry(*g);
    }
    return fourier.shape().asymmetry;
  });
}

void measure_known_sides(Measuring& on, const ShoulderFills& fills) {
  const FramedOutline& outline = on.outline();
  for (const int side : {+1, -1}) {
    on.take(side > 0 ? D::shoulder_fill_ventral : D::shoulder_fill_dorsal, [&](EdgeGradient* g) {
      if (g != nullptr) {
        fills.add(*g, side, 1.0);
      }
      return side > 0 ? fills.ventral() : fills.dorsal();
    });
  }
  on.take(D::shoulder_rise_ventral,
          [&](EdgeGradient* g) { return measure_shoulder_rise(outline, +1, g); });
  on.take(D::shoulder_rise_dorsal,
          [&](EdgeGradient* g) { return measure_shoulder_rise(outline, -1, g); });
  on.take(D::cheek_asymmetry, [&](EdgeGradient* g) { return measure_cheek_asymmetry(outline, g); });
  on.take(D::shoulder_asymmetry,
          [&](EdgeGradient* g) { return measure_shoulder_asymmetry(outline, g); });
}

void measure_beak(Measuring& on, const BendLine& line, bool keep_greater) {
  const FramedOutline& outline = on.outline();
  const std::optional<Beak> beak = find_beak(outline);
  const auto prominence = [&](EdgeGradient* g) {
    return measure_beak_prominence(outline, beak, g);
  };
  const auto curvature = [&](EdgeGradient* g) { return measure_beak_curvature(outline, line, g); };
  const auto sinus = [&](EdgeGradient* g) { return measure_sinus_depth(outline, beak, g); };
  if (keep_greater) {
    on.take_greater(D::beak_prominence, prominence);
    on.take_greater(D::beak_curvature, curvature);
    on.take_greater(D::sinus_depth, sinus);
  } else {
    on.take(D::beak_prominence, prominence);
    on.take(D::beak_curvature, curvature);
    on.take(D::sinus_depth, sinus);
  }
}

}  // namespace

Descriptors measure_shape(const FramedOutline& outline, const TurnFree& turn_free,
                          GradientSink* sink) {
  Descriptors result;
  Measuring on(outline, sink, result);
  const ShoulderFills fills(outline);
  measure_free_of_turn(on, turn_free.line);
  measure_both_sides(on, turn_free.whole, fills);
  measure_beak(on, turn_free.line, false);
  if (outline.side_known) {
    measure_known_sides(on, fills);
  } else {
    const FramedOutline other = turned_over(outline);
    Measuring on_other(other, sink, result);
    measure_beak(on_other, BendLine(other), true);
  }
  if (sink != nullptr) {
    on.take_size(*sink);
  }
  return result;
}

Descriptors measure_turning(const FramedOutline& outline, const TurnFree& turn_free) {
  Descriptors result;
  Measuring on(outline, nullptr, result);
  const ShoulderFills fills(outline);
  measure_both_sides(on, turn_free.whole, fills);
  if (outline.side_known) {
    measure_known_sides(on, fills);
  }
  result[D::fourier_asymmetry] = std::numeric_limits<double>::quiet_NaN();
  return result;
}

}  // namespace maturity
