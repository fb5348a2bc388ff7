#include "libmaturity/board/code_hint.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <optional>
#include <vector>

namespace maturity {

namespace {

using Runs = std::array<int, 5>;

// Lengths of a corner mark, px: shorter ones could be anything, longer ones are sought on a smaller
// copy.
constexpr int kShortestMark = 8;
constexpr int kLongestMark = 70;

struct Mark {
  double x = 0.0;
  double y = 0.0;
  double module = 0.0;  // px
};

// 1:1:3:1:1, to within half a module and what a pixel of blur does to a run.
std::optional<double> module_of(const Runs& runs, int least) {
  const int total = runs[0] + runs[1] + runs[2] + runs[3] + runs[4];
  if (total < least || total > kLongestMark) {
    return std::nullopt;
  }
  const double module = total / 7.0;
  const double tolerance = 0.5 * module + 0.8;
  for (const std::size_t i : {0U, 1U, 3U, 4U}) {
    if (std::abs(runs[i] - module) > tolerance) {
      return std::nullopt;
    }
  }
  if (std::abs(runs[2] - 3.0 * module) > 1.5 * tolerance) {
    return std::nullopt;
  }
  return module;
}

// Dark is darker than the mean of the row about it.
void mark_dark(const std::uint8_t* row, int width, std::vector<int>& sums,
               std::vector<char>& dark) {
  constexpr int kReach = 24;
  constexpr int kLeastDrop = 6;  // codes; noise and texture stay above
  // The row is thought to go on past its ends as it ends: one length of window everywhere.
  const auto past = static_cast<std::size_t>(kReach);
  const auto columns = static_cast<std::size_t>(width);
  sums.resize(columns + 2 * past + 1);
  int sum = 0;
  for (std::size_t k = 0; k < columns + 2 * past; ++k) {
    sums[k] = sum;
    sum += row[std::clamp(static_cast<int>(k) - kReach, 0, width - 1)];
  }
  sums[columns + 2 * past] = sum;
  constexpr int kWindow = 2 * kReach + 1;
  for (std::size_t x = 0; x < columns; ++x) {
    const int around = sums[x + kWindow] - sums[x];
    dark[x] = (row[x] + kLeastDrop) * kWindow < around ? 1 : 0;
  }
}

// A point in the middle of a mark, and the code that parts dark from light there.
struct Middle {
  int x;
  int y;
  int level;
};

// The runs above and below the middle of a mark.
std::optional<Mark> confirm_down(const GreyField& grey, const Middle& middle, double module,
                                 int least) {
  const int x = middle.x;
  const int y = middle.y;
  const auto is_dark = [&](int row) {
    return grey.pixels[static_cast<std::size_t>(row) * static_cast<std::size_t>(grey.width) +
                       static_cast<std::size_t>(x)] < middle.level;
  };
  const int longest = static_cast<int>(3.0 * module) + 3;
  const auto run = [&](int& row, int way, bool dark) {
    int length = 0;
    while (row >= 0 && row < grey.height && is_dark(row) == dark && length <= longest) {
      row += way;
      ++length;
    }
    return length;
  };
  int up = y;
  const int core_up = run(up, -1, true);
  const int light_up = run(up, -1, false);
  const int dark_up = run(up, -1, true);
  int down = y + 1;
  const int core_down = run(down, 1, true);
  const int light_down = run(down, 1, false);
  const int dark_down = run(down, 1, true);
  const auto found =
      module_of({dark_up, light_up, core_up + core_down, light_down, dark_down}, least);
  if (!found || *found > 1.6 * module || module > 1.6 * *found) {
    return std::nullopt;
  }
  return Mark{static_cast<double>(x), y + 0.5 * (core_down - core_up), 0.5 * (*found + module)};
}

// Ends of a row of alternating runs; the marks of the row are confirmed and added.
void marks_of_row(const GreyField& grey, int y, const std::vector<char>& dark, int least,
                  std::vector<Mark>& marks) {
  const std::uint8_t* row =
      &grey.pixels[static_cast<std::size_t>(y) * static_cast<std::size_t>(grey.width)];
  Runs runs{};
  int begun = 0;
  for (int x = 1; x <= grey.width; ++x) {
    const bool ends = x == grey.width ||
                      dark[static_cast<std::size_t>(x)] != dark[static_cast<std::size_t>(x) - 1];
    if (!ends) {
      continue;
    }
    std::rotate(runs.begin(), runs.begin() + 1, runs.end());
    runs[4] = x - begun;
    begun = x;
    if (dark[static_cast<std::size_t>(x) - 1] == 0) {
      continue;
    }
    const auto module = module_of(runs, least);
    const int first = x - (runs[0] + runs[1] + runs[2] + runs[3] + runs[4]);
    if (!module || first < 0) {
      continue;
    }
    const auto [low, high] = std::minmax_element(row + first, row + x);
    const int middle = first + runs[0] + runs[1] + runs[2] / 2;
    if (const auto mark = confirm_down(grey, {middle, y, (*low + *high) / 2}, *module, least)) {
      marks.push_back(*mark);
    }
  }
}

bool hints_on(const GreyField& grey, int least) {
  if (grey.pixels.empty()) {
    return false;  // too narrow for a smaller copy
  }
  constexpr int kEvery = 2;  // rows; the core of the smallest mark is 4 px high
  // Between the middles of two corner marks, in modules: 14 apart on the smallest code, and across
  // the corner of the largest that holds a card's text.
  constexpr double kLeastApart = 10.0;
  constexpr double kMostApart = 75.0;
  std::vector<int> sums;
  std::vector<char> dark(static_cast<std::size_t>(grey.width));
  std::vector<Mark> marks;
  for (int y = 0; y < grey.height; y += kEvery) {
    mark_dark(&grey.pixels[static_cast<std::size_t>(y) * static_cast<std::size_t>(grey.width)],
              grey.width, sums, dark);
    const std::size_t before = marks.size();
    marks_of_row(grey, y, dark, least, marks);
    for (std::size_t i = before; i < marks.size(); ++i) {
      for (std::size_t j = 0; j < i; ++j) {
        const Mark& a = marks[i];
        const Mark& b = marks[j];
        const double module = 0.5 * (a.module + b.module);
        const double apart = std::hypot(a.x - b.x, a.y - b.y) / module;
        if (std::max(a.module, b.module) < 1.5 * std::min(a.module, b.module) &&
            apart > kLeastApart && apart < kMostApart) {
          return true;
        }
      }
    }
  }
  return false;
}

constexpr int kThird = 3;

// A third of the size (3 x 3 means).
GreyField third_of(const GreyField& grey) {
  GreyField small;
  small.width = grey.width / kThird;
  small.height = grey.height / kThird;
  small.step_x = kThird * grey.step_x;
  small.step_y = kThird * grey.step_y;
  const auto width = static_cast<std::size_t>(grey.width);
  for (std::size_t y = 0; y < static_cast<std::size_t>(small.height); ++y) {
    for (std::size_t x = 0; x < static_cast<std::size_t>(small.width); ++x) {
      int sum = 0;
      for (std::size_t k = 0; k < kThird; ++k) {
        const std::uint8_t* p = &grey.pixels[(kThird * y + k) * width + kThird * x];
        sum += p[0] + p[1] + p[2];
      }
      small.pixels.push_back(static_cast<std::uint8_t>(sum / (kThird * kThird)));
    }
  }
  return small;
}

}  // namespace

CodeHint hint_at_code(const GreyField& grey) {
  if (hints_on(grey, kShortestMark)) {
    return CodeHint::small;
  }
  constexpr int kLeast = kLongestMark / kThird;
  const GreyField third = third_of(grey);
  return hints_on(third, kLeast) || hints_on(third_of(third), kLeast) ? CodeHint::large
                                                                      : CodeHint::none;
}

}  // namespace maturity
