#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace maturity {

/// All bytes of a regular file. Throws PhotoError when it is missing, no file (a folder, a device),
/// not readable, or larger than 1 GiB.
std::vector<std::uint8_t> read_file(const std::string& path);

}  // namespace maturity
