#include "libmaturity/stats/sampling_plan.h"

#include <algorithm>
#include <array>
#include <cstddef>

#include "libmaturity/stats/reject_argument.h"

namespace maturity {

namespace {

struct LotRow {
  int highest;
  std::array<char, 3> letters;
};

constexpr std::array<LotRow, 12> kLots{{{8, {'A', 'A', 'B'}},
                                        {15, {'A', 'B', 'C'}},
                                        {25, {'B', 'C', 'D'}},
                                        {50, {'C', 'D', 'E'}},
                                        {90, {'C', 'E', 'F'}},
                                        {150, {'D', 'F', 'G'}},
                                        {280, {'E', 'G', 'H'}},
                                        {500, {'F', 'H', 'J'}},
                                        {1200, {'G', 'J', 'K'}},
                                        {3200, {'H', 'K', 'L'}},
                                        {10000, {'J', 'L', 'M'}},
                                        {35000, {'K', 'M', 'N'}}}};

struct LetterRow {
  char letter;
  int n;
};

// No letter I in the standard.
constexpr std::array<LetterRow, 13> kLetters{{{'A', 2},
                                              {'B', 3},
                                              {'C', 5},
                                              {'D', 8},
                                              {'E', 13},
                                              {'F', 20},
                                              {'G', 32},
                                              {'H', 50},
                                              {'J', 80},
                                              {'K', 125},
                                              {'L', 200},
                                              {'M', 315},
                                              {'N', 500}}};

constexpr std::array<double, 5> kLevels{1.5, 2.5, 4.0, 6.5, 10.0};
constexpr int kUp = -1;
constexpr int kDown = -2;
constexpr std::size_t kFirstRow = 3;  // letter D
constexpr std::array<std::array<int, 5>, 8> kAccept{{{0, kUp, kDown, 1, 2},
                                                     {kUp, kDown, 1, 2, 3},
                                                     {kDown, 1, 2, 3, 5},
                                                     {1, 2, 3, 5, 7},
                                                     {2, 3, 5, 7, 10},
                                                     {3, 5, 7, 10, 14},
                                                     {5, 7, 10, 14, 21},
                                                     {7, 10, 14, 21, kUp}}};

std::size_t letter_index(char letter) {
  const auto* const found = std::find_if(
      kLetters.begin(), kLetters.end(), [&](const LetterRow& row) { return row.letter == letter; });
  if (found == kLetters.end()) {
    reject_argument("letter", letter, "a code letter A to H or J to N");
  }
  return static_cast<std::size_t>(found - kLetters.begin());
}

}  // namespace

char code_letter(int lot, int level) {
  if (level < 1 || level > 3) {
    reject_argument("level", level, "general inspection level 1, 2 or 3");
  }
  if (lot < 2 || lot > kLots.back().highest) {
    reject_argument("lot", lot, "2 to 35000 fruit");
  }
  const auto* const row = std::find_if(kLots.begin(), kLots.end(),
                                       [&](const LotRow& each) { return lot <= each.highest; });
  return row->letters.at(static_cast<std::size_t>(level) - 1);
}

int code_letter_sample_size(char letter) { return kLetters.at(letter_index(letter)).n; }

std::optional<SamplingPlan> single_plan(char letter, double acceptable_pct) {
  const auto* const level = std::find(kLevels.begin(), kLevels.end(), acceptable_pct);
  if (level == kLevels.end()) {
    reject_argument("acceptable_pct", acceptable_pct, "1.5, 2.5, 4, 6.5 or 10");
  }
  const auto column = static_cast<std::size_t>(level - kLevels.begin());
  const std::size_t start = letter_index(letter);
  std::size_t index = start;
  while (index >= kFirstRow && index < kFirstRow + kAccept.size()) {
    const int accept = kAccept.at(index - kFirstRow).at(column);
    if (accept >= 0) {
      return SamplingPlan{kLetters.at(index).letter, kLetters.at(index).n, accept, index != start};
    }
    index = accept == kUp ? index - 1 : index + 1;
  }
  return std::nullopt;
}

}  // namespace maturity
