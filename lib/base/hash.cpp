#include "sherdmark/base/hash.h"

#include <array>

#include "base/crypto_library.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/files.h"

namespace sherdmark {
namespace {

struct FreeContext {
  void operator()(EVP_MD_CTX* context) const { crypto().EVP_MD_CTX_free(context); }
};

std::string as_hex(std::span<const unsigned char> digest) {
  constexpr char k_digits[] = "0123456789abcdef";
  std::string hex;
  hex.reserve(digest.size() * 2);
  for (const unsigned char byte : digest) {
    hex.push_back(k_digits[byte >> 4U]);
    hex.push_back(k_digits[byte & 15U]);
  }
  return hex;
}

}  // namespace

const CryptoLibrary& crypto() {
  static const CryptoLibrary library;
  return library;
}

std::string sha256_hex(std::span<const std::byte> bytes) {
  std::array<unsigned char, SHA256_DIGEST_LENGTH> digest{};
  crypto().SHA256(reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size(), digest.data());
  return as_hex(digest);
}

std::string sha256_hex(std::string_view text) { return sha256_hex(as_byte_span(text)); }

struct Sha256::State {
  std::unique_ptr<EVP_MD_CTX, FreeContext> context{crypto().EVP_MD_CTX_new()};
};

Sha256::Sha256() : state_(std::make_unique<State>()) {
  if (state_->context == nullptr ||
      crypto().EVP_DigestInit_ex(state_->context.get(), crypto().EVP_sha256(), nullptr) != 1)
    throw internal_error("SHA-256 is not to be had");
}

Sha256::~Sha256() = default;

void Sha256::add(std::span<const std::byte> bytes) {
  if (crypto().EVP_DigestUpdate(state_->context.get(), bytes.data(), bytes.size()) != 1)
    throw internal_error("SHA-256 failed");
}

std::string Sha256::hex() {
  std::array<unsigned char, SHA256_DIGEST_LENGTH> digest{};
  unsigned length = 0;
  if (crypto().EVP_DigestFinal_ex(state_->context.get(), digest.data(), &length) != 1)
    throw internal_error("SHA-256 failed");
  return as_hex(digest);
}

}  // namespace sherdmark
