#include "libmaturity/outline/skin_evidence.h"

#include <algorithm>
#include <cmath>

namespace maturity {

namespace {

constexpr int kBins = 32;
constexpr double kMostEvidence = 2.5;  // log likelihood ratio of one sample
constexpr double kOthersEvidence = -1.0;
// From which overlap of the channels before it a channel is asked. Two histograms that share
// nothing overlap by 0.14, from their floors: the second channel nearly always has a say, green and
// light only where yellow cannot tell.
constexpr std::array<double, 4> kMixedLeast{0.0, 0.10, 0.14, 0.16};
constexpr double kMixedSpan = 0.20;
constexpr int kSafeRows = 6;  // beyond the rough rim: nearer samples may still be skin in shade

class Histogram {
 public:
  Histogram(float low, float high) : low_(low), high_(std::max(high, low + 1e-3F)) {}
  void add(float value, double weight) {
    counts_.at(bin(value)) += weight;
    total_ += weight;
  }
  double total() const { return total_; }
  void smooth() {
    for (int round = 0; round < 2; ++round) {
      std::array<double, kBins> next{};
      for (std::size_t i = 0; i < kBins; ++i) {
        const double left = counts_.at(i > 0 ? i - 1 : 0);
        const double right = counts_.at(i + 1 < kBins ? i + 1 : kBins - 1);
        next.at(i) = 0.25 * left + 0.5 * counts_.at(i) + 0.25 * right;
      }
      counts_ = next;
    }
    double sum = 0.0;
    for (const double c : counts_) {
      sum += c;
    }
    for (double& c : counts_) {
      c = (c + 0.005 * sum + 0.05) / (sum * (1.0 + 0.005 * kBins) + 0.05 * kBins);
    }
  }
  double density(float value) const { return counts_.at(bin(value)); }
  double density_of_bin(std::size_t i) const { return counts_.at(i); }
  std::size_t bin(float value) const {
    const float t = (value - low_) / (high_ - low_) * kBins;
    return static_cast<std::size_t>(std::clamp(static_cast<int>(t), 0, kBins - 1));
  }

 private:
  float low_;
  float high_;
  double total_ = 0.0;
  std::array<double, kBins> counts_{};
};

// What one channel tells: log likelihood ratio skin against surroundings per bin, and how much of
// the two histograms overlaps.
struct ChannelEvidence {
  Histogram skin;
  Histogram around;
  std::array<double, kBins> ratio{};
  double overlap = 0.0;
};

ChannelEvidence learn(const PolarGrid& grid, const std::vector<int>& rows,
                      const std::vector<SkinColour>& background, std::size_t channel) {
  float low = grid[0].value.at(channel);
  float high = low;
  for (const PolarSample& s : grid) {
    low = std::min(low, s.value.at(channel));
    high = std::max(high, s.value.at(channel));
  }
  ChannelEvidence e{Histogram(low, high), Histogram(low, high), {}, 0.0};
  for (int a = 0; a < kAngles; ++a) {
    const int rim = rows[static_cast<std::size_t>(a)];
    for (int r = 0; r < kRows; ++r) {
      const PolarSample& s =
          grid[static_cast<std::size_t>(a) * kRows + static_cast<std::size_t>(r)];
      if (s.outside || s.taken) {
        continue;
      }
      if (r < rim - 2) {
        e.skin.add(s.value.at(channel), 1.0);
      } else if (r > rim + kSafeRows) {
        e.around.add(s.value.at(channel), 1.0);
      }
    }
  }
  // The rest of the photo counts a little: it holds the shadows of the other fruit.
  const double weight = 0.3 * e.around.total() / (1.0 + static_cast<double>(background.size()));
  for (const SkinColour& c : background) {
    e.around.add(c.at(channel), weight);
  }
  e.skin.smooth();
  e.around.smooth();
  for (std::size_t i = 0; i < kBins; ++i) {
    e.ratio.at(i) = std::log(e.skin.density_of_bin(i) / e.around.density_of_bin(i));
    e.overlap += std::min(e.skin.density_of_bin(i), e.around.density_of_bin(i));
  }
  return e;
}

}  // namespace

std::vector<double> skin_evidence(const PolarGrid& grid, const std::vector<int>& rows,
                                  const std::vector<SkinColour>& background) {
  std::vector<double> evidence(grid.size(), 0.0);
  double mixed = 1.0;
  for (std::size_t c = 0; c < kChannels; ++c) {
    const ChannelEvidence e = learn(grid, rows, background, c);
    const double weight =
        c == 0 ? 1.0 : std::clamp((mixed - kMixedLeast.at(c)) / kMixedSpan, 0.0, 1.0);
    mixed = std::min(mixed, e.overlap);
    for (std::size_t i = 0; i < grid.size(); ++i) {
      evidence[i] += weight * e.ratio.at(e.skin.bin(grid[i].value.at(c)));
    }
  }
  for (std::size_t i = 0; i < grid.size(); ++i) {
    evidence[i] = grid[i].outside ? 0.0
                  : grid[i].taken ? kOthersEvidence
                                  : std::clamp(evidence[i], -kMostEvidence, kMostEvidence);
  }
  return evidence;
}

}  // namespace maturity
