#include "libmaturity/outline/touching.h"

#include <algorithm>

#include "libmaturity/outline/stem_stub.h"

namespace maturity {

namespace {

constexpr double kMostContact = 0.22;  // of the outline, up to which the gap is bridged

// Runs of points in contact, gaps of a few points closed.
std::vector<Stub> contact_runs(const Polygon& outline, const Polygon& other, double reach) {
  const std::size_t n = outline.size();
  std::vector<bool> near(n);
  const Eigen::AlignedBox2d box = bounding_box(other);
  for (std::size_t i = 0; i < n; ++i) {
    near[i] = box.exteriorDistance(outline[i]) < reach &&
              (contains(other, outline[i]) || distance_to_outline(other, outline[i]) < reach);
  }
  constexpr std::size_t kGap = 8;
  const auto marked = [&](std::size_t i) {
    for (std::size_t k = 0; k < kGap; ++k) {
      if (near[(i + k) % n]) {
        return true;
      }
    }
    return false;
  };
  std::vector<Stub> runs;
  std::size_t start = 0;
  while (start < n && marked(start)) {
    ++start;
  }
  if (start == n) {
    return {{0, n, 0.0, 0.0}};
  }
  for (std::size_t i = start; i < start + n; ++i) {
    if (!marked(i)) {
      continue;
    }
    std::size_t end = i;
    while (end + 1 < start + n && marked(end + 1)) {
      ++end;
    }
    runs.push_back({i % n, end - i + 1, 0.0, 0.0});
    i = end;
  }
  return runs;
}

}  // namespace

void settle_contacts(std::vector<FruitOutline>& fruit, double reach_px) {
  std::vector<std::vector<Stub>> runs(fruit.size());
  for (std::size_t a = 0; a < fruit.size(); ++a) {
    for (std::size_t b = 0; b < fruit.size(); ++b) {
      if (a == b ||
          bounding_box(fruit[a].outline_px).exteriorDistance(bounding_box(fruit[b].outline_px)) >
              2.0 * reach_px) {
        continue;
      }
      for (const Stub& run : contact_runs(fruit[a].outline_px, fruit[b].outline_px, reach_px)) {
        runs[a].push_back(run);
      }
    }
  }
  for (std::size_t a = 0; a < fruit.size(); ++a) {
    double contact = 0.0;
    const auto n = static_cast<double>(fruit[a].outline_px.size());
    for (const Stub& run : runs[a]) {
      contact += static_cast<double>(run.length) / n;
    }
    if (runs[a].empty()) {
      continue;
    }
    fruit[a].add(FruitFlag::touching);
    if (contact > kMostContact) {
      fruit[a].add(FruitFlag::occluded);
      continue;
    }
    for (const Stub& run : runs[a]) {
      // Beside a contact the outline bends towards the neighbour, in its shade.
      constexpr std::size_t kMargin = 14;
      bridge(fruit[a].outline_px, run, kMargin);
    }
    // What the neighbour hid is no stem.
    if (fruit[a].stem_base_px) {
      for (std::size_t b = 0; b < fruit.size(); ++b) {
        if (b != a &&
            distance_to_outline(fruit[b].outline_px, *fruit[a].stem_base_px) < 2.0 * reach_px) {
          fruit[a].stem_base_px.reset();
          fruit[a].stem_probability = 0.0;
          break;
        }
      }
    }
  }
}

}  // namespace maturity
