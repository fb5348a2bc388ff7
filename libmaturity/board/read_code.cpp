#include "libmaturity/board/read_code.h"

// Asks for UTF-8 text, which later versions give in any case.
#define ZX_USE_UTF8 1  // NOLINT(cppcoreguidelines-macro-usage)
#include <ZXing/ReadBarcode.h>

#include <algorithm>

#include "libmaturity/photo/colour_field.h"

namespace maturity {

namespace {

constexpr std::size_t kLongestText = 200;

bool plain_text(const std::string& text) {
  return !text.empty() && text.size() <= kLongestText &&
         std::none_of(text.begin(), text.end(), [](char c) {
           const auto byte = static_cast<unsigned char>(c);
           return byte < 32U || byte == 127U;
         });
}

}  // namespace

std::optional<std::string> read_code(const Photo& photo) {
  // Half size first: enough for a card of 40 mm, and four times as fast.
  for (const int side : {1300, 2600}) {
    const GreyField grey = grey_field(photo, side);
    const ZXing::ImageView view(grey.pixels.data(), grey.width, grey.height,
                                ZXing::ImageFormat::Lum);
    ZXing::DecodeHints hints;
    hints.setFormats(ZXing::BarcodeFormat::QRCode);
    hints.setTryHarder(false);
    hints.setTryRotate(false);  // the three corner marks tell the turn
    const ZXing::Result result = ZXing::ReadBarcode(view, hints);
    if (result.isValid()) {
      const std::string text = result.text();
      return plain_text(text) ? std::optional<std::string>(text) : std::nullopt;
    }
    if (std::max(grey.width, grey.height) >= std::max(photo.width(), photo.height())) {
      break;
    }
  }
  return std::nullopt;
}

}  // namespace maturity
