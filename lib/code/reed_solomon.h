// Reed-Solomon decoding over GF(256), as QR and Data Matrix symbols use it. Private to the layer.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

namespace sherdmark {

// QR: polynomial 0x11D, first root alpha^0 (ISO/IEC 18004, annex A). Data Matrix: 0x12D, alpha^1 (ISO/IEC 16022, 5.7).
struct ReedSolomonCode {
  int polynomial = 0x11D;
  int first_root = 0;
};

// Corrects one block in place, its last `error_count` codewords being those of the error correction; returns how many
// codewords were wrong. std::nullopt: more than error_count / 2 were, the block is left as it was.
[[nodiscard]] std::optional<int> correct_block(const ReedSolomonCode& code, std::vector<std::uint8_t>& block,
                                               int error_count);

}  // namespace sherdmark
