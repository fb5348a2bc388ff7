#include "libmaturity/outline/disc_opening.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <stdexcept>
#include <vector>

namespace maturity {

namespace {

constexpr std::uint8_t kFar = 255;

// Distance of each pixel along its row to the nearest pixel of the row where `mask` is `target`,
// up to kFar; beyond the row's ends lies `beyond`.
std::vector<std::uint8_t> row_distances(std::span<const std::uint8_t> mask, std::size_t width,
                                        std::uint8_t target, std::uint8_t beyond) {
  std::vector<std::uint8_t> distances(mask.size());
  const auto farther = [](std::uint8_t d) {
    return static_cast<std::uint8_t>(d == kFar ? kFar : d + 1);
  };
  const std::uint8_t at_end = beyond == target ? 0 : kFar;
  for (std::size_t row = 0; row < mask.size(); row += width) {
    std::uint8_t last = at_end;
    for (std::size_t i = row; i < row + width; ++i) {
      last = mask[i] == target ? std::uint8_t{0} : farther(last);
      distances[i] = last;
    }
    last = at_end;
    for (std::size_t i = row + width; i-- > row;) {
      last = mask[i] == target ? std::uint8_t{0} : farther(last);
      distances[i] = std::min(distances[i], last);
    }
  }
  return distances;
}

std::vector<std::uint8_t> half_widths(int radius) {
  std::vector<std::uint8_t> widths;
  for (int dy = 0; dy <= radius; ++dy) {
    widths.push_back(static_cast<std::uint8_t>(std::lround(std::sqrt(radius * radius - dy * dy))));
  }
  return widths;
}

// Wherever the row's distance is at most the reach, the target's row is set to `value`.
void set_within(const std::uint8_t* distance, std::uint8_t reach, std::uint8_t value,
                std::uint8_t* target, std::size_t width) {
  for (std::size_t x = 0; x < width; ++x) {
    target[x] = distance[x] <= reach ? value : target[x];
  }
}

// Sets to `value` all that a disc around a pixel of the other rows' targets reaches.
void spread(const std::vector<std::uint8_t>& distances, std::span<std::uint8_t> mask, int width,
            int height, const std::vector<std::uint8_t>& reach, std::uint8_t value) {
  const int radius = static_cast<int>(reach.size()) - 1;
  const auto columns = static_cast<std::size_t>(width);
  for (int y = 0; y < height; ++y) {
    std::uint8_t* target = mask.data() + static_cast<std::size_t>(y) * columns;
    for (int from = std::max(0, y - radius); from <= std::min(height - 1, y + radius); ++from) {
      set_within(distances.data() + static_cast<std::size_t>(from) * columns,
                 reach[static_cast<std::size_t>(std::abs(from - y))], value, target, columns);
    }
  }
}

}  // namespace

void open_with_disc(std::span<std::uint8_t> mask, int width, int height, int radius) {
  if (width < 0 || height < 0 ||
      mask.size() != static_cast<std::size_t>(width) * static_cast<std::size_t>(height)) {
    throw std::invalid_argument("open_with_disc: the mask does not hold width * height pixels");
  }
  if (radius < 0 || radius >= kFar) {
    throw std::invalid_argument("open_with_disc: the radius must be 0 to 254 pixels");
  }
  if (mask.empty()) {
    return;
  }
  constexpr std::uint8_t kSet = 255;
  const auto columns = static_cast<std::size_t>(width);
  const std::vector<std::uint8_t> reach = half_widths(radius);
  // Eroded: what a disc around a clear pixel reaches is cleared, also from above and below the
  // mask.
  const std::vector<std::uint8_t> to_clear = row_distances(mask, columns, 0, 0);
  spread(to_clear, mask, width, height, reach, 0);
  const auto border = std::min(static_cast<std::size_t>(radius), static_cast<std::size_t>(height));
  std::fill_n(mask.begin(), border * columns, std::uint8_t{0});
  std::fill_n(mask.end() - static_cast<std::ptrdiff_t>(border * columns), border * columns,
              std::uint8_t{0});
  // Dilated: what a disc around a pixel left reaches is set.
  const std::vector<std::uint8_t> to_set = row_distances(mask, columns, kSet, 0);
  spread(to_set, mask, width, height, reach, kSet);
}

}  // namespace maturity
