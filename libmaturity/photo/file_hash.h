#pragma once

#include <cstdint>
#include <span>
#include <string>

namespace maturity {

/// SHA-256 (FIPS 180-4) of the bytes, 64 lower-case hexadecimal digits.
std::string sha256_hex(std::span<const std::uint8_t> bytes);

}  // namespace maturity
