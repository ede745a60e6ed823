// Where the bits of each kind of symbol lie. Private to the layer.
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "sherdmark/code/reference_decode.h"

namespace sherdmark {

// Blocks of equal or nearly equal length: the first `short_blocks` have one data codeword less than the others.
struct BlockPlan {
  int blocks = 1;
  int short_blocks = 0;
  int data_of_short = 0;  // data codewords of a short block
  int error_codewords = 0;
  int kept_for_detection = 0;
};

// QR versions 1-40 (ISO/IEC 18004, table 9) and Micro QR symbol numbers 0-7 (M1, M2-L … M4-Q).
[[nodiscard]] BlockPlan qr_blocks(int version, ErrorLevel level);
[[nodiscard]] BlockPlan micro_qr_blocks(int symbol_number);

// One bit of the format information: where it lies, bit 0 first.
using FormatPlaces = std::array<int, 15>;
[[nodiscard]] std::vector<FormatPlaces> format_places(SymbolFormat format, int side_modules);

// Does the mask turn this module round? Numbers as the format information has them.
[[nodiscard]] bool masked(SymbolFormat format, int mask, int x, int y);

// The data modules in the order of the codewords' bits.
[[nodiscard]] std::vector<int> data_walk(const SymbolFrame& frame);

}  // namespace sherdmark
