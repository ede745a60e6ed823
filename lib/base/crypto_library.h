// The functions of libcrypto that hashes and randomness need, opened by the first of either: to load it is 2 ms of a
// start. Private to the base layer.
#pragma once

#include <openssl/evp.h>
#include <openssl/rand.h>
#include <openssl/sha.h>

#include "sherdmark/base/late_library.h"

namespace sherdmark {

class CryptoLibrary {
  LateLibrary library_{SHERDMARK_CRYPTO_LIBRARY, "Hashes and random numbers are made",
                       "Install it (the library of OpenSSL)."};

 public:
  SHERDMARK_LATE_FUNCTION(, EVP_DigestFinal_ex);
  SHERDMARK_LATE_FUNCTION(, EVP_DigestInit_ex);
  SHERDMARK_LATE_FUNCTION(, EVP_DigestUpdate);
  SHERDMARK_LATE_FUNCTION(, EVP_MD_CTX_free);
  SHERDMARK_LATE_FUNCTION(, EVP_MD_CTX_new);
  SHERDMARK_LATE_FUNCTION(, EVP_sha256);
  SHERDMARK_LATE_FUNCTION(, RAND_bytes);
  SHERDMARK_LATE_FUNCTION(, SHA256);
};

// Thread-safe; after a failure the next caller tries again.
[[nodiscard]] const CryptoLibrary& crypto();

}  // namespace sherdmark
