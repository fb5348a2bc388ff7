#include "libmaturity/board/read_code.h"

#include <ZXing/BarcodeFormat.h>
#include <ZXing/BitMatrix.h>
#include <ZXing/MultiFormatWriter.h>
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <string>

#include "libmaturity/board/code_hint.h"
#include "libmaturity/board/find_markers.h"
#include "tests/photo/drawn_photo.h"

namespace maturity {
namespace {

// Twice the side of the small copy, and low: only the card matters.
constexpr int kWidth = 1100;
constexpr int kHeight = 420;
constexpr float kGround = 0.35F;

/// A card with a square code in the middle of a grained board; `module_px` of the full photo.
Photo card_photo(const std::string& text, double module_px, double turn_deg, bool covered = false,
                 const cv::Size& size = {kWidth, kHeight}) {
  const auto cells = ZXing::MultiFormatWriter(ZXing::BarcodeFormat::QRCode)
                         .setEncoding(ZXing::CharacterSet::UTF8)
                         .setMargin(0)
                         .encode(text, 0, 0);
  const double turn = turn_deg * std::numbers::pi / 180.0;
  const Point centre(0.5 * size.width + 0.3, 0.5 * size.height - 0.2);
  const double half = 0.5 * cells.width();
  const auto cell_of = [&](const Point& p) {
    const Point d = (p - centre) / module_px;
    return Point(std::cos(turn) * d.x() + std::sin(turn) * d.y() + half,
                 -std::sin(turn) * d.x() + std::cos(turn) * d.y() + half);
  };
  cv::Mat light = made::plain_light(size.width, size.height, made::Light::all(kGround));
  constexpr double kRim = 4.0;
  // Only the card's part of the picture is painted: every pixel asks four times and more.
  const int reach = static_cast<int>(1.5 * (half + kRim) * module_px) + 2;
  const cv::Rect around = cv::Rect(static_cast<int>(centre.x()) - reach,
                                   static_cast<int>(centre.y()) - reach, 2 * reach, 2 * reach) &
                          cv::Rect(0, 0, size.width, size.height);
  const Point shift(around.x, around.y);
  cv::Mat card = light(around);
  made::paint(
      card,
      [&](const Point& p) {
        const Point c = cell_of(p + shift);
        return c.minCoeff() > -kRim && c.maxCoeff() < 2.0 * half + kRim;
      },
      made::Light::all(0.8F));
  made::paint(
      card,
      [&](const Point& p) {
        const Point c = cell_of(p + shift);
        return c.minCoeff() >= 0.0 && c.maxCoeff() < 2.0 * half &&
               (covered || cells.get(static_cast<int>(c.x()), static_cast<int>(c.y())));
      },
      made::Light::all(0.03F));
  made::blur(light, 0.8);
  return made::photo_of_light(light, 2.0);
}

std::optional<std::string> read(const Photo& photo) {
  return read_code(photo, grey_field(photo, kMarkerSide));
}

TEST(ReadCode, ReadsCardsTurnedAnyWayThatAreTooSmallOnTheSmallCopy) {
  const std::string text = "Weir/W-03-07/2027-01-12";
  for (const double module_px : {3.8, 5.0, 8.0}) {
    for (const double turn : {0.0, 17.0, 45.0, 211.0}) {
      EXPECT_EQ(read(card_photo(text, module_px, turn)), text)
          << module_px << " px a module, turned by " << turn;
    }
  }
}

// The marks of a card held near the phone are too large to be noticed on the usual copy, and a
// turned one to be read there.
TEST(ReadCode, ReadsLargeCards) {
  const cv::Size near(1000, 750);
  for (const double module_px : {14.0, 20.0, 24.0}) {
    for (const double turn : {0.0, 8.0, 180.0}) {
      const Photo photo = card_photo("Weir/W-03", module_px, turn, false, near);
      EXPECT_EQ(hint_at_code(grey_field(photo, kMarkerSide)), CodeHint::large);
      EXPECT_EQ(read(photo), "Weir/W-03") << module_px << " px a module, turned by " << turn;
    }
  }
}

TEST(ReadCode, ACopyTooNarrowForASmallerOneHintsAtNothing) {
  GreyField narrow;
  narrow.width = 2;
  narrow.height = 40;
  narrow.pixels.assign(80, 100);
  EXPECT_EQ(hint_at_code(narrow), CodeHint::none);
}

TEST(ReadCode, HintNamesSmallCodesAndNothingElse) {
  for (const double module_px : {3.0, 5.0}) {
    for (const double turn : {0.0, 30.0, 75.0}) {
      const Photo photo = card_photo("Quarry/Q-11-02", module_px, turn);
      EXPECT_EQ(hint_at_code(grey_field(photo, kMarkerSide)), CodeHint::small)
          << module_px << " px a module, turned by " << turn;
      const Photo black = card_photo("Quarry/Q-11-02", module_px, turn, true);
      EXPECT_EQ(hint_at_code(grey_field(black, kMarkerSide)), CodeHint::none);
    }
  }
}

TEST(ReadCode, APhotoWithoutACodeHasNoText) {
  const Photo photo =
      made::photo_of_light(made::plain_light(kWidth, kHeight, made::Light::all(kGround)), 3.0);
  EXPECT_EQ(hint_at_code(grey_field(photo, kMarkerSide)), CodeHint::none);
  EXPECT_EQ(read(photo), std::nullopt);
}

}  // namespace
}  // namespace maturity
