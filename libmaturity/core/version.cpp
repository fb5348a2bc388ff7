#include "libmaturity/core/version.h"

namespace maturity {

const char* version() { return MATURITY_VERSION; }

int method_version() { return 9; }

}  // namespace maturity
