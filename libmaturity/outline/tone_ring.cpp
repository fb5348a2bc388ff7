#include "libmaturity/outline/tone_ring.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "libmaturity/core/ring_index.h"
#include "libmaturity/photo/linear_light.h"

namespace maturity {

namespace {

constexpr double kNeighbourhood = 0.04;  // share of the outline on each side

double log_light(const Photo& photo, const Point& at) {
  return std::log(sample_light(photo, at) + 0.01);
}

Tone tone_of(const Photo& photo, const Point& at) {
  const auto [blue, red] = photo.sample_colour(at);
  return {log_light(photo, at), (blue - 128.0) / 32.0, (red - 128.0) / 32.0};
}

double median(std::vector<double>& values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

}  // namespace

ToneRing::ToneRing(const Photo& photo, const Polygon& outline, const Polygon& outward,
                   double distance_px)
    : photo_(photo),
      outline_(outline),
      outward_(outward),
      distance_px_(distance_px),
      reach_(std::max<std::size_t>(
          6, static_cast<std::size_t>(kNeighbourhood * static_cast<double>(outline.size())))),
      tones_(outline.size()),
      read_(outline.size(), 0),
      light_(outline.size(), std::numeric_limits<double>::quiet_NaN()) {}

const Tone& ToneRing::tone(std::size_t i) {
  if (read_[i] == 0) {
    tones_[i] = tone_of(photo_, outline_[i] + distance_px_ * outward_[i]);
    read_[i] = 1;
  }
  return tones_[i];
}

double ToneRing::light(std::size_t i) {
  if (std::isnan(light_[i])) {
    light_[i] = log_light(photo_, outline_[i] + distance_px_ * outward_[i]);
  }
  return light_[i];
}

double ToneRing::departure(std::size_t i, double least) {
  const std::size_t n = size();
  window_.clear();
  std::size_t at = ring_before(i, reach_, n);
  for (std::size_t k = 0; k <= 2 * reach_; k += 2) {
    window_.push_back(tone(at));
    at = ring_next(ring_next(at, n), n);
  }
  const Tone here = tone(i);
  double most = 0.0;
  for (std::size_t c = 0; c < 3; ++c) {
    double off = 0.0;
    for (const Tone& t : window_) {
      off = std::max(off, std::abs(here[c] - t[c]));
    }
    most += off * off;
  }
  if (most <= least * least) {
    return 0.0;
  }
  double sum = 0.0;
  for (std::size_t c = 0; c < 3; ++c) {
    channel_.resize(window_.size());
    std::transform(window_.begin(), window_.end(), channel_.begin(),
                   [c](const Tone& t) { return t[c]; });
    const double off = here[c] - median(channel_);
    sum += off * off;
  }
  const double departure = std::sqrt(sum);
  return departure > least ? departure : 0.0;
}

bool ToneRing::darker(std::size_t i, double least) {
  const std::size_t n = size();
  const double limit = light(i) + least;
  std::size_t at = ring_before(i, reach_, n);
  std::size_t lighter = 0;
  for (std::size_t k = 0; k <= 2 * reach_; k += 2) {
    lighter += light(at) > limit ? 1U : 0U;
    at = ring_next(ring_next(at, n), n);
  }
  return 2 * lighter > reach_ + 1;
}

std::vector<Run> runs_of(const std::vector<char>& marks) {
  const std::size_t n = marks.size();
  const auto marked = [&](std::size_t i) { return marks[i % n] != 0; };
  std::vector<Run> runs;
  std::size_t start = 0;
  while (start < n && marked(start)) {
    ++start;  // begin between runs
  }
  for (std::size_t i = start; i < start + n; ++i) {
    if (!marked(i)) {
      continue;
    }
    std::size_t end = i;
    while (end + 1 < i + n && (marked(end + 1) || marked(end + 2))) {
      ++end;
    }
    runs.push_back({i % n, end - i + 1});
    i = end;
  }
  return runs;
}

}  // namespace maturity
