#pragma once

namespace maturity {

/// Version of the library, "major.minor.patch". Part of every stored measurement.
const char* version();

/// Version of the measuring method (outline, solid, descriptors). Raised whenever the same photo
/// would give other numbers; stored measurements of another method version are measured again.
int method_version();

}  // namespace maturity
