#include "libmaturity/outline/level_sets.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <opencv2/core.hpp>
#include <opencv2/core/hal/intrin.hpp>
#include <stdexcept>

namespace maturity {

namespace {

constexpr int kWord = 64;

// One bit per pixel of a row: whether it is above the level. Past the end: not.
void bits_of(const std::uint8_t* rank, int count, std::uint8_t level,
             std::vector<std::uint64_t>& bits) {
  bits.assign(static_cast<std::size_t>(count / kWord) + 1, 0);
  int x = 0;
#if CV_SIMD128
  const cv::v_uint8x16 least = cv::v_setall_u8(level);
  for (; x + 16 <= count; x += 16) {
    const auto above = static_cast<std::uint64_t>(
        static_cast<std::uint32_t>(cv::v_signmask(cv::v_load(rank + x) >= least)));
    bits[static_cast<std::size_t>(x / kWord)] |= above << (x % kWord);
  }
#endif
  for (; x < count; ++x) {
    const std::uint64_t above = rank[x] >= level ? 1 : 0;
    bits[static_cast<std::size_t>(x / kWord)] |= above << (x % kWord);
  }
}

// First pixel from x on whose bit is `value`; `count` if there is none.
int next_with(const std::vector<std::uint64_t>& bits, int x, bool value, int count) {
  while (x < count) {
    const std::uint64_t word = bits[static_cast<std::size_t>(x / kWord)];
    const std::uint64_t rest = (value ? word : ~word) >> (x % kWord);
    if (rest != 0) {
      return std::min(count, x + std::countr_zero(rest));
    }
    x += kWord - x % kWord;
  }
  return count;
}

std::size_t root_of(std::vector<std::size_t>& parent, std::size_t i) {
  while (parent[i] != i) {
    parent[i] = parent[parent[i]];
    i = parent[i];
  }
  return i;
}

struct Labelled {
  std::vector<PixelRun> runs;
  std::vector<std::size_t> parent;
};

void add_row(Labelled& labelled, const std::vector<std::uint64_t>& bits, int row, int left,
             int count, std::size_t& above, std::size_t above_end) {
  for (int x = next_with(bits, 0, true, count); x < count;) {
    const int end = next_with(bits, x, false, count);
    const std::size_t here = labelled.runs.size();
    labelled.runs.push_back({row, left + x, left + end});
    labelled.parent.push_back(here);
    // Runs of the row above that touch it, corners included.
    while (above < above_end && labelled.runs[above].end < left + x) {
      ++above;
    }
    for (std::size_t k = above; k < above_end && labelled.runs[k].begin <= left + end; ++k) {
      const std::size_t a = root_of(labelled.parent, k);
      const std::size_t b = root_of(labelled.parent, here);
      labelled.parent[std::max(a, b)] = std::min(a, b);
    }
    x = next_with(bits, end, true, count);
  }
}

Labelled label(const std::vector<std::uint8_t>& rank, int width, const PixelBox& window,
               std::uint8_t level) {
  Labelled labelled;
  std::vector<std::uint64_t> bits;
  std::size_t above = 0;
  for (int row = window.top; row < window.bottom; ++row) {
    const std::size_t above_end = labelled.runs.size();
    bits_of(rank.data() + static_cast<std::ptrdiff_t>(row) * width + window.left, window.width(),
            level, bits);
    add_row(labelled, bits, row, window.left, window.width(), above, above_end);
    above = above_end;
  }
  return labelled;
}

}  // namespace

LevelSets::LevelSets(std::span<const float> plane, int width, int height, float step)
    : width_(width), rank_(plane.size()) {
  if (width < 1 || height < 1 ||
      plane.size() != static_cast<std::size_t>(width) * static_cast<std::size_t>(height) ||
      !(step > 0.0F)) {
    throw std::invalid_argument("LevelSets: the plane does not fit its size, or no step");
  }
  double low = 0.0;
  double high = 0.0;
  cv::minMaxLoc(cv::Mat(height, width, CV_32FC1, const_cast<float*>(plane.data())),  // NOLINT
                &low, &high);
  constexpr float kMostLevels = 255.0F;
  const auto least = static_cast<float>(low);
  const auto most = static_cast<float>(high);
  if (!std::isfinite(least) || !std::isfinite(most)) {
    throw std::invalid_argument("LevelSets: not a finite number in the plane");
  }
  levels_ = static_cast<int>(
      std::clamp(std::ceil((most - least) / step) - 1.0F, 0.0F, kMostLevels - 1.0F));
  const float scale = 1.0F / step;
  const std::size_t count = plane.size();
  for (std::size_t i = 0; i < count; ++i) {
    const float above = std::min(kMostLevels, (plane[i] - least) * scale);
    const auto whole = static_cast<int>(above);
    // On a level is not above it.
    const int rank = whole - (static_cast<float>(whole) < above ? 0 : 1);
    rank_[i] = static_cast<std::uint8_t>(std::max(0, rank));
  }
}

std::vector<Component> LevelSets::above(int level, const PixelBox& window, double least_box) const {
  Labelled labelled = label(rank_, width_, window, static_cast<std::uint8_t>(level));
  constexpr auto kNone = static_cast<std::size_t>(-1);
  std::vector<Component> all;
  std::vector<std::size_t> component(labelled.runs.size(), kNone);  // of each root, then each run
  for (std::size_t i = 0; i < labelled.runs.size(); ++i) {
    const std::size_t root = root_of(labelled.parent, i);
    const PixelRun& run = labelled.runs[i];
    if (component[root] == kNone) {  // the root comes first
      component[root] = all.size();
      all.push_back({{run.begin, run.row, run.end, run.row + 1}, 0, {}});
    }
    component[i] = component[root];
    Component& c = all[component[i]];
    c.box.left = std::min(c.box.left, run.begin);
    c.box.right = std::max(c.box.right, run.end);
    c.box.bottom = run.row + 1;
    c.pixels += static_cast<std::size_t>(run.end - run.begin);
  }
  const auto too_small = [&](const Component& c) {
    return static_cast<double>(c.box.width() - 1) * (c.box.height() - 1) < least_box;
  };
  for (std::size_t i = 0; i < labelled.runs.size(); ++i) {
    Component& c = all[component[i]];
    if (!too_small(c)) {
      c.runs.push_back(labelled.runs[i]);
    }
  }
  std::erase_if(all, too_small);
  return all;
}

}  // namespace maturity
