#include "libmaturity/descriptors/pose_errors.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <utility>

namespace maturity {

PoseErrors::PoseErrors(PoseResponse response, const FramedOutline& outline, const EdgeNoise& noise)
    : response_(std::move(response)),
      covariance_(noise.covariances(outline.step(), outline.size() / 2)) {
  EdgeError error(noise.sd, noise.correlation_length, outline.step());
  smooth_turn_ = error.smoothed(response_.turn);
  const std::vector<double>& turn = smooth_turn_;
  const std::vector<double> stem = error.smoothed(response_.stem_slide);
  const std::vector<double> nose = error.smoothed(response_.nose_slide);
  double turn_nose = 0.0;
  for (std::size_t i = 0; i < turn.size(); ++i) {
    turn_variance_ += turn[i] * turn[i];
    stem_variance_ += stem[i] * stem[i];
    turn_stem_ += turn[i] * stem[i];
    turn_nose += turn[i] * nose[i];
  }
  for (const PoseChange& by : {response_.stem_scatter, response_.nose_scatter}) {
    turn_variance_ += by.turn * by.turn;
    stem_variance_ += by.stem_slide * by.stem_slide;
    turn_stem_ += by.turn * by.stem_slide;
    turn_nose += by.turn * by.nose_slide;
  }
  if (turn_variance_ > 0.0) {
    per_turn_ = {1.0, turn_stem_ / turn_variance_, turn_nose / turn_variance_};
    if (response_.on_blunt_nose) {
      scale_to(*response_.on_blunt_nose);
    }
  }
}

void PoseErrors::scale_to(const TurnSpread& spread) {
  turns_ = spread.parts;
  fourth_moment_ = spread.fourth_moment;
  const double by = spread.sd / turn_sd();
  for (std::vector<double>* part :
       {&smooth_turn_, &response_.turn, &response_.stem_slide, &response_.nose_slide}) {
    for (double& one : *part) {
      one *= by;
    }
  }
  for (PoseChange* part : {&response_.stem_scatter, &response_.nose_scatter}) {
    part->turn *= by;
    part->stem_slide *= by;
    part->nose_slide *= by;
  }
  turn_variance_ *= by * by;
  stem_variance_ *= by * by;
  turn_stem_ *= by * by;
}

double PoseErrors::turn_sd() const { return std::sqrt(turn_variance_); }

double PoseErrors::with(const std::vector<double>& response, std::size_t point) const {
  const std::size_t n = response.size();
  double sum = covariance_[0] * response[point];
  std::size_t on = point;
  std::size_t back = point;
  for (std::size_t k = 1; k < covariance_.size(); ++k) {
    on = on + 1 == n ? 0 : on + 1;
    back = back == 0 ? n - 1 : back - 1;
    sum += covariance_[k] * (response[on] + response[back]);
  }
  return sum;
}

PoseResponse framed_response(PoseResponse response, const Pose& pose) {
  if (pose.ventral_side < 0) {
    for (std::vector<double>* part : {&response.turn, &response.stem_slide, &response.nose_slide}) {
      std::reverse(part->begin(), part->end());
      std::transform(part->begin(), part->end(), part->begin(), std::negate<>());
    }
    // What stem and nose scatter on their own may have either sign.
    response.mean_turn = -response.mean_turn;
    if (response.on_blunt_nose) {
      TurnSpread& spread = *response.on_blunt_nose;
      spread.mean = -spread.mean;
      std::reverse(spread.parts.begin(), spread.parts.end());
      std::transform(spread.parts.begin(), spread.parts.end(), spread.parts.begin(),
                     std::negate<>());
    }
  }
  return response;
}

}  // namespace maturity
