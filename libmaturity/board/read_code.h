#pragma once

#include <optional>
#include <string>

#include "libmaturity/photo/colour_field.h"
#include "libmaturity/photo/photo.h"

namespace maturity {

/// Text of a square code (QR, ISO/IEC 18004) anywhere on the photo, as printed on a tree card:
/// "block/tree" or "block/tree/date". Empty when there is none, when it cannot be read, or when the
/// text is longer than a card's (200 bytes) or holds control characters: it then is no tree card.
/// `grey`: the photo made small (`kMarkerSide`). Where it does not hint at a code none is sought; a
/// smaller and a larger copy are searched where the hinted code cannot be read on it.
std::optional<std::string> read_code(const Photo& photo, const GreyField& grey);

}  // namespace maturity
