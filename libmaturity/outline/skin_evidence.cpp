#include "libmaturity/outline/skin_evidence.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace maturity {

namespace {

constexpr double kMostEvidence = 2.5;  // log likelihood ratio of one sample
constexpr double kOthersEvidence = -1.0;
// From which overlap of the channels before it a channel is asked. Two histograms that share
// nothing overlap by 0.14, from their floors: the second channel nearly always has a say, green and
// light only where yellow cannot tell.
constexpr std::array<double, kChannels> kMixedLeast{0.0, 0.10, 0.14, 0.16};
constexpr double kMixedSpan = 0.20;
constexpr int kSafeRows = 6;  // beyond the rough rim: nearer samples may still be skin in shade

// Counts to a smooth density with a floor.
template <std::size_t N>
void smooth(std::array<double, N>& counts) {
  for (int round = 0; round < 2; ++round) {
    std::array<double, N> next{};
    for (std::size_t i = 0; i < N; ++i) {
      const double left = counts.at(i > 0 ? i - 1 : 0);
      const double right = counts.at(i + 1 < N ? i + 1 : N - 1);
      next.at(i) = 0.25 * left + 0.5 * counts.at(i) + 0.25 * right;
    }
    counts = next;
  }
  const double sum = std::accumulate(counts.begin(), counts.end(), 0.0);
  for (double& c : counts) {
    c = (c + 0.005 * sum + 0.05) / (sum * (1.0 + 0.005 * N) + 0.05 * N);
  }
}

}  // namespace

SkinEvidence::SkinEvidence(const PolarGrid& grid, const std::vector<SkinColour>& background)
    : grid_(grid), background_(background) {}

const SkinEvidence::Channel& SkinEvidence::channel(std::size_t c) {
  Channel& channel = channels_.at(c);
  if (!channel.bin.empty()) {
    return channel;
  }
  float low = grid_[0].value[c];
  float high = low;
  for (const PolarSample& s : grid_) {
    low = std::min(low, s.value[c]);
    high = std::max(high, s.value[c]);
  }
  const float scale = static_cast<float>(kBins) / std::max(high - low, 1e-3F);
  const auto bin_of = [&](float value) {
    return static_cast<std::uint8_t>(
        std::clamp(static_cast<int>((value - low) * scale), 0, static_cast<int>(kBins) - 1));
  };
  channel.bin.reserve(grid_.size());
  for (const PolarSample& s : grid_) {
    channel.bin.push_back(bin_of(s.value[c]));
  }
  for (const SkinColour& colour : background_) {
    channel.background[bin_of(colour[c])] += 1.0;
  }
  return channel;
}

SkinEvidence::Learned SkinEvidence::learn(const Channel& channel,
                                          const std::vector<int>& rows) const {
  Histogram skin{};
  Histogram around{};
  for (std::size_t a = 0; a < kAngles; ++a) {
    const int rim = rows[a];
    for (int r = 0; r < kRows; ++r) {
      const std::size_t i = a * kRows + static_cast<std::size_t>(r);
      if (grid_[i].outside || grid_[i].taken) {
        continue;
      }
      if (r < rim - 2) {
        skin[channel.bin[i]] += 1.0;
      } else if (r > rim + kSafeRows) {
        around[channel.bin[i]] += 1.0;
      }
    }
  }
  // The rest of the photo counts a little: it holds the shadows of the other fruit.
  const double weight = 0.3 * std::accumulate(around.begin(), around.end(), 0.0) /
                        (1.0 + static_cast<double>(background_.size()));
  for (std::size_t i = 0; i < kBins; ++i) {
    around.at(i) += weight * channel.background.at(i);
  }
  smooth(skin);
  smooth(around);
  Learned learned;
  for (std::size_t i = 0; i < kBins; ++i) {
    learned.ratio.at(i) = std::log(skin.at(i) / around.at(i));
    learned.overlap += std::min(skin.at(i), around.at(i));
  }
  return learned;
}

std::vector<double> SkinEvidence::with_rim(const std::vector<int>& rows) {
  std::vector<double> evidence(grid_.size(), 0.0);
  double mixed = 1.0;
  for (std::size_t c = 0; c < kChannels; ++c) {
    const double weight =
        c == 0 ? 1.0 : std::clamp((mixed - kMixedLeast.at(c)) / kMixedSpan, 0.0, 1.0);
    if (!(weight > 0.0)) {
      break;  // later channels ask for more overlap, and overlap only falls
    }
    const Learned learned = learn(channel(c), rows);
    mixed = std::min(mixed, learned.overlap);
    Histogram ratio = learned.ratio;
    for (double& r : ratio) {
      r *= weight;
    }
    const std::vector<std::uint8_t>& bin = channel(c).bin;
    for (std::size_t i = 0; i < bin.size(); ++i) {
      evidence[i] += ratio[bin[i]];
    }
  }
  for (std::size_t i = 0; i < grid_.size(); ++i) {
    evidence[i] = grid_[i].outside ? 0.0
                  : grid_[i].taken ? kOthersEvidence
                                   : std::clamp(evidence[i], -kMostEvidence, kMostEvidence);
  }
  return evidence;
}

}  // namespace maturity
