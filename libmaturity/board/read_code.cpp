#include "libmaturity/board/read_code.h"

// Asks for UTF-8 text, which later versions give in any case.
#define ZX_USE_UTF8 1  // NOLINT(cppcoreguidelines-macro-usage)
#include <ZXing/ReadBarcode.h>

#include <algorithm>

#include "libmaturity/board/code_hint.h"
#include "libmaturity/board/find_markers.h"

namespace maturity {

namespace {

constexpr std::size_t kLongestText = 200;

bool plain_text(const std::string& text) {
  unsigned before = 0;
  for (const char c : text) {
    const unsigned byte = static_cast<unsigned char>(c);
    // The second block of control characters, U+0080 to U+009F, is C2 80 to C2 9F in UTF-8.
    if (byte < 32U || byte == 127U || (before == 0xC2U && byte < 0xA0U)) {
      return false;
    }
    before = byte;
  }
  return !text.empty() && text.size() <= kLongestText;
}

ZXing::Result search(const GreyField& grey) {
  const ZXing::ImageView view(grey.pixels.data(), grey.width, grey.height, ZXing::ImageFormat::Lum);
  ZXing::DecodeHints hints;
  hints.setFormats(ZXing::BarcodeFormat::QRCode);
  hints.setTryHarder(false);
  hints.setTryRotate(false);  // the three corner marks tell the turn
  return ZXing::ReadBarcode(view, hints);
}

}  // namespace

std::optional<std::string> read_code(const Photo& photo, const GreyField& grey) {
  constexpr int kLargeSide = 2600;
  const CodeHint hint = hint_at_code(grey);
  if (hint == CodeHint::none) {
    return std::nullopt;
  }
  ZXing::Result result = search(grey);
  constexpr int kNearSide = kMarkerSide / 3;  // a turned code with modules over 10 px is missed
  if (!result.isValid()) {
    result = search(grey_field(photo, kNearSide));
  }
  // The small copy is enough for a card on a board that fills the photo.
  const bool whole = std::max(grey.width, grey.height) >= std::max(photo.width(), photo.height());
  if (!result.isValid() && !whole && hint == CodeHint::small) {
    result = search(grey_field(photo, kLargeSide));
  }
  if (!result.isValid()) {
    return std::nullopt;
  }
  const std::string text = result.text();
  return plain_text(text) ? std::optional<std::string>(text) : std::nullopt;
}

}  // namespace maturity
