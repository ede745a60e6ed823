// Symbols as module matrices: QR and Micro QR (ISO/IEC 18004), Data Matrix ECC 200 (ISO/IEC 16022).
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace sherdmark {

// Every format a reader can name; only the first three are written by us.
enum class SymbolFormat { qr, micro_qr, data_matrix, code_128, code_39, ean, itf, aztec, pdf417, codabar, other };

[[nodiscard]] std::string_view to_text(SymbolFormat format);  // "qr", "micro-qr", "data-matrix", "code-128" …

enum class ErrorLevel { l, m, q, h };

struct SymbolMatrix {
  SymbolFormat format = SymbolFormat::qr;
  int width_modules = 0;  // without quiet zone
  int height_modules = 0;
  int quiet_zone_modules = 4;       // 4 QR, 2 Micro QR, 1 Data Matrix
  int version = 0;                  // QR 1-40, Micro QR 1-4, Data Matrix 0
  std::optional<ErrorLevel> level;  // none for Data Matrix
  std::vector<std::uint8_t> dark;   // row by row, 1 is dark

  [[nodiscard]] bool is_dark(int x, int y) const {
    return dark[static_cast<std::size_t>(y) * static_cast<std::size_t>(width_modules) + static_cast<std::size_t>(x)] !=
           0;
  }
};

// Smallest version that holds the text at the level. Any bytes may be given; an empty text or one that no version
// holds throws data_error.
[[nodiscard]] SymbolMatrix make_qr(std::string_view text, ErrorLevel level);
// Smallest version, and within it the highest level up to `most_level` that still holds the text. M1 has no error
// correction, only detection: it counts as level L.
[[nodiscard]] SymbolMatrix make_micro_qr(std::string_view text, ErrorLevel least_level,
                                         ErrorLevel most_level = ErrorLevel::q);
// Smallest square symbol, 10 × 10 to 132 × 132. Smallest for texts of 0-9 and A-Z; other texts may take more room than
// the densest encodation would.
[[nodiscard]] SymbolMatrix make_data_matrix(std::string_view text);

// The module in whole printer dots that is the largest whose symbol with quiet zone fits `space_mm`, and at least 4
// dots and `least_module_mm`. Least sizes are stated to 0.01 mm: 0.1693 mm (4 dots at 600 dpi) is enough for 0.17.
// std::nullopt: does not fit.
struct ModuleSize {
  int dots = 0;
  double module_mm = 0;
  double size_mm = 0;  // symbol with its quiet zone
};
[[nodiscard]] std::optional<ModuleSize> fit_module(const SymbolMatrix& symbol, double space_mm, double least_module_mm,
                                                   int dpi);
// Smallest size that is allowed at all.
[[nodiscard]] ModuleSize smallest_module(const SymbolMatrix& symbol, double least_module_mm, int dpi);

// What the artifact micro-code of a scheme's longest number needs.
struct MicroCodeFit {
  SymbolMatrix symbol;
  ModuleSize size;  // at the smallest module allowed
};
struct MicroCodeChoice {
  std::string text;                      // of the micro-code
  std::optional<MicroCodeFit> micro_qr;  // level M or better; none: too long for Micro QR
  MicroCodeFit data_matrix;
  SymbolFormat best = SymbolFormat::data_matrix;  // the smaller of the two on paper
};
// Throws data_error when the number breaks the limits of link_code.h.
[[nodiscard]] MicroCodeChoice choose_micro_code(std::string_view longest_number, double least_module_mm, int dpi);

}  // namespace sherdmark
