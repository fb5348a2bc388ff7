#pragma once

#include <string>
#include <vector>

namespace maturity::tools {

/// Photo files named directly, and those in named folders (with all below them; links are not
/// followed), sorted. A named file is kept whatever its ending: the decoder judges it; in folders
/// only .jpg .jpeg .png .tif .tiff .webp .heic count. Throws std::invalid_argument for a path that
/// does not exist or cannot be read.
std::vector<std::string> list_photos(const std::vector<std::string>& paths);

}  // namespace maturity::tools
