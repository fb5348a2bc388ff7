#include "libmaturity/photo/file_hash.h"

#include <gtest/gtest.h>

#include <string>

namespace maturity {
namespace {

std::string hash_of(const std::string& text) {
  return sha256_hex(std::vector<std::uint8_t>(text.begin(), text.end()));
}

// NIST, example values for FIPS 180-4 SHA-256 (one block, two blocks; the empty message and the
// million a's from the Secure Hash Algorithm validation vectors), from memory, checked with
// coreutils' sha256sum.
TEST(FileHash, NistExamples) {
  EXPECT_EQ(hash_of("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  EXPECT_EQ(hash_of("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq"),
            "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
  EXPECT_EQ(hash_of(""), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
  EXPECT_EQ(hash_of(std::string(1000000, 'a')),
            "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

TEST(FileHash, OneBitChangesIt) { EXPECT_NE(hash_of("abc"), hash_of("abb")); }

}  // namespace
}  // namespace maturity
