#include "sherdmark/base/hash.h"

#include <openssl/sha.h>

#include <array>

#include "sherdmark/base/files.h"

namespace sherdmark {

std::string sha256_hex(std::span<const std::byte> bytes) {
  std::array<unsigned char, SHA256_DIGEST_LENGTH> digest{};
  SHA256(reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size(), digest.data());
  constexpr char k_digits[] = "0123456789abcdef";
  std::string hex;
  hex.reserve(digest.size() * 2);
  for (const unsigned char byte : digest) {
    hex.push_back(k_digits[byte >> 4U]);
    hex.push_back(k_digits[byte & 15U]);
  }
  return hex;
}

std::string sha256_hex(std::string_view text) { return sha256_hex(as_byte_span(text)); }

}  // namespace sherdmark
