// For comparing symbols with the worked examples of ISO/IEC 18004, which print one fixed mask: the same symbol with
// another mask, and pictures of symbols for other readers.
#pragma once

#include <string>
#include <string_view>

#include "sherdmark/code/symbol.h"

namespace sherdmark::testing {

// Format information of a QR (15 bits, most significant first), first and second copy; Micro QR has one.
struct FormatBits {
  int first = 0;
  int second = 0;
};
[[nodiscard]] FormatBits read_format_bits(const SymbolMatrix& symbol);

// Only version 1 QR and Micro QR, which have no alignment pattern and no version information.
[[nodiscard]] SymbolMatrix with_mask(const SymbolMatrix& symbol, int mask);

// Format information strings of check level and mask (ISO/IEC 18004 table C.1, as quoted by heuer/segno).
[[nodiscard]] int qr_format(ErrorLevel level, int mask);
[[nodiscard]] int micro_format(int symbol_number, int mask);

// Rows separated by '/', 1 is dark.
[[nodiscard]] std::string rows_of(const SymbolMatrix& symbol);

// A PGM file's bytes with the quiet zone.
[[nodiscard]] std::string to_pgm(const SymbolMatrix& symbol, int pixels_per_module);

}  // namespace sherdmark::testing
