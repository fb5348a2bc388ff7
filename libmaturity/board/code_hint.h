#pragma once

#include "libmaturity/photo/colour_field.h"

namespace maturity {

/// Nothing like a code; marks that a larger copy may be needed for; marks so large that the copy
/// looked at is enough.
enum class CodeHint { none, small, large };

/// Whether the small copy shows two corner marks of a square code (ISO/IEC 18004: dark, light and
/// dark as 1:1:3:1:1 along every line through the middle), of one size and as far apart as the
/// marks of one code are. Looser than reading, so that a photo without a code costs little, and a
/// code too small to be read here is still noticed: modules of about 1.5 px to those of a card that
/// fills the photo, turned by any angle.
CodeHint hint_at_code(const GreyField& grey);

}  // namespace maturity
