#include "libmaturity/descriptors/standard_errors.h"

#include <cmath>
#include <cstddef>

namespace maturity {

namespace {

/// Change of the value with the pose; the frame turning turns the points the other way.
double change_with(const EdgeGradient& gradient, const PoseChange& change) {
  return gradient.stem_slide() * change.stem_slide + gradient.nose_slide() * change.nose_slide -
         gradient.turn() * change.turn;
}

}  // namespace

StandardErrors::StandardErrors(const FramedOutline& outline, const EdgeNoise& noise,
                               const PoseErrors& pose)
    : outline_(outline),
      noise_(noise),
      error_(noise.sd, noise.correlation_length, outline.step()),
      pose_(pose),
      centre_lift_(outline.size()) {
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Point chord = outline.points[outline.next(i)] - outline.points[outline.before(i)];
    centre_lift_[i] = 0.5 * chord.norm() * outline.points[i].y() / outline.area;
  }
}

void StandardErrors::take(Descriptor descriptor, const EdgeGradient& gradient) {
  sums_[static_cast<std::size_t>(descriptor)] = sum_up(gradient);
}

double StandardErrors::of(Descriptor descriptor, const std::optional<TurnedShape>& turned) const {
  const auto k = static_cast<std::size_t>(descriptor);
  return error_of(sums_[k], turned ? &turned->values[k] : nullptr);
}

double StandardErrors::of_length(const std::optional<TurnedShape>& turned) const {
  return error_of(length_, turned ? &turned->length : nullptr);
}

double StandardErrors::of_width(const std::optional<TurnedShape>& turned) const {
  return error_of(width_, turned ? &turned->width : nullptr);
}

StandardErrors::Sums StandardErrors::sum_up(const EdgeGradient& gradient) {
  const std::size_t n = outline_.size();
  // The turned-over outline holds the same points the other way round.
  const bool over = &gradient.outline() != &outline_;
  const double sign = over ? -1.0 : 1.0;
  const PoseResponse& response = pose_.response();
  total_.resize(n);
  for (std::size_t i = 0; i < n; ++i) {
    total_[i] = gradient.normal()[over ? n - 1 - i : i] -
                sign * (gradient.turn() * response.turn[i] + gradient.lift() * centre_lift_[i] -
                        gradient.stem_slide() * response.stem_slide[i] -
                        gradient.nose_slide() * response.nose_slide[i]);
  }
  const std::vector<double> smooth = error_.smoothed(total_);
  const double by_stem = sign * change_with(gradient, response.stem_scatter);
  const double by_nose = sign * change_with(gradient, response.nose_scatter);
  Sums sums;
  sums.variance = gradient.scatter() + by_stem * by_stem + by_nose * by_nose;
  sums.with_turn = by_stem * response.stem_scatter.turn + by_nose * response.nose_scatter.turn;
  for (std::size_t i = 0; i < n; ++i) {
    sums.variance += smooth[i] * smooth[i];
    sums.with_turn += smooth[i] * pose_.smooth_turn()[i];
  }
  sums.slope = sign * change_with(gradient, pose_.per_turn());
  sums.turned = gradient.turned();
  return sums;
}

double StandardErrors::error_of(const Sums& sums, const TurnAnswer* measured) const {
  const TurnAnswer* answer = sums.turned ? &*sums.turned : measured;
  double variance = sums.variance;
  if (answer != nullptr && std::isfinite(answer->scatter)) {
    const double more = answer->slope - sums.slope;
    variance += answer->scatter + more * (2.0 * sums.with_turn + more * pose_.turn_variance());
  }
  // Rounding may leave it below 0; not a number stays so.
  return variance < 0.0 ? 0.0 : std::sqrt(variance);
}

}  // namespace maturity
