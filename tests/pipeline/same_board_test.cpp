#include "libmaturity/pipeline/same_board.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "tests/outline/drawn_fruit.h"

namespace maturity {
namespace {

using made::DrawnFruit;

// Two rows of three, as people lay them; `spread` of sizes (relative) and turns (rad).
std::vector<Polygon> laid_board(std::uint64_t seed, double spread) {
  std::mt19937_64 engine(seed);
  std::normal_distribution<double> normal;
  std::vector<Polygon> board;
  for (int row = 0; row < 2; ++row) {
    for (int column = 0; column < 3; ++column) {
      DrawnFruit fruit;
      fruit.centre = Point(260.0 + 260.0 * column, 240.0 + 300.0 * row);
      fruit.a *= 1.0 + spread * normal(engine);
      fruit.b *= 1.0 + spread * normal(engine);
      fruit.lopsided = 0.2 + spread * normal(engine);
      fruit.turn_rad = 1.5708 + spread * normal(engine);
      board.push_back(resample_by_arc_length(fruit.outline(), 200));
    }
  }
  return board;
}

// The board as another photo shows it: turned, smaller, seen `tilt` radians aslant, with an edge
// noise of a pixel.
std::vector<Polygon> seen_again(std::vector<Polygon> board, double turn, double tilt) {
  std::mt19937_64 engine(5);
  std::normal_distribution<double> noise;
  constexpr double kDistance = 1400.0;
  for (Polygon& outline : board) {
    for (Point& p : outline) {
      const Point q = Eigen::Rotation2Dd(turn) * (p - Point(520.0, 390.0));
      const double depth = kDistance + q.y() * std::sin(tilt);
      p = 0.8 * kDistance / depth * Point(q.x(), q.y() * std::cos(tilt)) + Point(700.0, 500.0) +
          Point(noise(engine), noise(engine));
    }
  }
  return board;
}

TEST(SameBoard, IsKnownFromAnotherPlace) {
  const auto board = laid_board(1, 0.06);
  for (const double turn : {0.0, 0.3, 1.57, 3.14}) {
    for (const double tilt : {0.0, 0.2}) {
      const BoardMatch match = compare_boards(board, seen_again(board, turn, tilt));
      EXPECT_TRUE(match.same) << turn << " " << tilt << " overlap " << match.mean_overlap;
      EXPECT_EQ(match.matched, 6);
    }
  }
}

// What counts is the outlines: laid out alike, other fruit would pass for the same by their places.
TEST(SameBoard, OtherFruitLaidOutAlikeAreAnotherBoard) {
  int same = 0;
  int by_places = 0;
  for (std::uint64_t seed = 10; seed < 40; ++seed) {
    const BoardMatch match = compare_boards(laid_board(1, 0.08), laid_board(seed, 0.08));
    same += match.same ? 1 : 0;
    by_places += match.matched >= 5 ? 1 : 0;
  }
  EXPECT_EQ(same, 0);
  EXPECT_GT(by_places, 20);
}

TEST(SameBoard, AFruitMissingOrLostIsBorne) {
  const auto board = laid_board(1, 0.06);
  auto again = seen_again(board, 0.2, 0.1);
  again.erase(again.begin() + 2);
  EXPECT_TRUE(compare_boards(board, again).same);
  EXPECT_TRUE(compare_boards(again, board).same);
}

TEST(SameBoard, TwoFruitMustMatchMoreClosely) {
  const std::vector<Polygon> pair = {laid_board(1, 0.06)[0], laid_board(1, 0.06)[4]};
  EXPECT_TRUE(compare_boards(pair, seen_again(pair, 0.2, 0.0)).same);
  int same = 0;
  for (std::uint64_t seed = 10; seed < 60; ++seed) {
    const auto other = laid_board(seed, 0.06);
    same += compare_boards(pair, {other[0], other[4]}).same ? 1 : 0;
  }
  EXPECT_LE(same, 1);
}

TEST(SameBoard, NumbersInAnotherOrderDoNotMatter) {
  const auto board = laid_board(1, 0.06);
  auto again = seen_again(board, 0.2, 0.1);
  std::reverse(again.begin(), again.end());
  EXPECT_TRUE(compare_boards(board, again).same);
}

TEST(SameBoard, OneFruitOrNoneIsNeverTold) {
  const auto board = laid_board(1, 0.06);
  EXPECT_FALSE(compare_boards({board[0]}, {board[0]}).same);
  EXPECT_FALSE(compare_boards(board, {}).same);
  EXPECT_FALSE(compare_boards({}, {}).same);
  EXPECT_FALSE(compare_boards({board[0], {}}, {board[0], {}}).same);
}

}  // namespace
}  // namespace maturity
