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
// The function of that name, typed as the library's header declares it.
#define SHERDMARK_CRYPTO(name) decltype(&::name) name = library_.find<decltype(&::name)>(#name)
  SHERDMARK_CRYPTO(EVP_DigestFinal_ex);
  SHERDMARK_CRYPTO(EVP_DigestInit_ex);
  SHERDMARK_CRYPTO(EVP_DigestUpdate);
  SHERDMARK_CRYPTO(EVP_MD_CTX_free);
  SHERDMARK_CRYPTO(EVP_MD_CTX_new);
  SHERDMARK_CRYPTO(EVP_sha256);
  SHERDMARK_CRYPTO(RAND_bytes);
  SHERDMARK_CRYPTO(SHA256);
#undef SHERDMARK_CRYPTO
};

// Thread-safe; after a failure the next caller tries again.
[[nodiscard]] const CryptoLibrary& crypto();

}  // namespace sherdmark
