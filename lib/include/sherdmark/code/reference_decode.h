// From the modules of a symbol as they were seen to the modules as they were printed: the reference decode algorithms
// of ISO/IEC 18004 (QR, Micro QR) and ISO/IEC 16022 (Data Matrix ECC 200, square), as far as print grading needs them.
// The text itself is not unpacked here; readers do that.
#pragma once

#include <optional>
#include <vector>

#include "sherdmark/code/symbol.h"

namespace sherdmark {

// The part of the symbol that a module belongs to.
enum class ModulePart : std::uint8_t { data, finder, separator, timing, alignment, format, version };

// What is known of a symbol of that format and size before it is read. std::nullopt: there is no such size.
struct SymbolFrame {
  SymbolFormat format = SymbolFormat::qr;
  int side_modules = 0;
  std::vector<ModulePart> parts;   // row by row
  std::vector<std::uint8_t> dark;  // of every part but data, format and version: 1 is dark; others 0
};
[[nodiscard]] std::optional<SymbolFrame> symbol_frame(SymbolFormat format, int side_modules);
// Every side that a symbol of the format may have, from small to large; empty for formats that are not ours.
[[nodiscard]] std::vector<int> symbol_sides(SymbolFormat format);

// Centres of a QR symbol's alignment patterns along one axis, in modules from 0 (ISO/IEC 18004, annex E). Version 1 has
// none.
[[nodiscard]] std::vector<int> qr_alignment_centres(int version);

struct CodewordPlace {
  std::vector<int> modules;  // indices into the matrix, most significant bit first
  int block = 0;
  bool wrong = false;  // error correction changed it
};

struct BlockDecode {
  int error_codewords = 0;
  int kept_for_detection = 0;  // of them, against misdecoding (check value p)
  int wrong = 0;               // codewords that were corrected
  // What error correction may repair, in codewords of 2 an error: Ecap.
  [[nodiscard]] int capacity() const { return error_codewords - kept_for_detection; }
};

struct ReferenceDecode {
  SymbolMatrix printed;  // every module as it was printed
  std::vector<CodewordPlace> codewords;
  std::vector<BlockDecode> blocks;
  std::vector<int> format_errors;  // wrong modules in each copy of the format information; empty: Data Matrix
};

// `seen`: format, sides and modules are used, the rest is not. std::nullopt: it does not decode.
[[nodiscard]] std::optional<ReferenceDecode> reference_decode(const SymbolMatrix& seen);

}  // namespace sherdmark
