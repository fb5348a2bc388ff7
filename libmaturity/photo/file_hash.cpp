#include "libmaturity/photo/file_hash.h"

#include <openssl/evp.h>

#include <array>
#include <stdexcept>

namespace maturity {

std::string sha256_hex(std::span<const std::uint8_t> bytes) {
  std::array<unsigned char, EVP_MAX_MD_SIZE> digest{};
  unsigned int length = 0;
  if (EVP_Digest(bytes.data(), bytes.size(), digest.data(), &length, EVP_sha256(), nullptr) != 1) {
    throw std::runtime_error("SHA-256 is not available in this build of OpenSSL");
  }
  constexpr std::array<char, 17> kDigits{"0123456789abcdef"};
  std::string text;
  text.reserve(2UL * length);
  for (unsigned int i = 0; i < length; ++i) {
    text.push_back(kDigits.at(digest.at(i) >> 4U));
    text.push_back(kDigits.at(digest.at(i) & 15U));
  }
  return text;
}

}  // namespace maturity
