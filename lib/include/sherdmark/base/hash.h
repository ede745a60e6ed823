// SHA-256 (FIPS 180-4), as lower-case hex. Used for the event chain and for fingerprints of files.
#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <string_view>

namespace sherdmark {

[[nodiscard]] std::string sha256_hex(std::span<const std::byte> bytes);
[[nodiscard]] std::string sha256_hex(std::string_view text);

}  // namespace sherdmark
