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
  int width_modules = 0;               // without quiet zone
  int height_modules = 0;
  int quiet_zone_modules = 4;          // 4 QR, 2 Micro QR, 1 Data Matrix
  int version = 0;                     // QR 1-40, Micro QR 1-4, Data Matrix 0
  std::optional<ErrorLevel> level;     // none for Data Matrix
  std::vector<std::uint8_t> dark;      // row by row, 1 is dark

  [[nodiscard]] bool is_dark(int x, int y) const {
    return dark[static_cast<std::size_t>(y) * static_cast<std::size_t>(width_modules) + static_cast<std::size_t>(x)] != 0;
  }
};

// Smallest version that holds the text at the level. Throws data_error if none does.
// `forced_mask`: only for comparing with worked examples; -1 lets the library choose.
[[nodiscard]] SymbolMatrix make_qr(std::string_view text, ErrorLevel level, int forced_mask = -1);
[[nodiscard]] SymbolMatrix make_micro_qr(std::string_view text, ErrorLevel least_level);
[[nodiscard]] SymbolMatrix make_data_matrix(std::string_view text);

// The module in whole printer dots that is the largest whose symbol with quiet zone fits `space_mm`, and at least 4
// dots and `least_module_mm`. std::nullopt: does not fit.
struct ModuleSize {
  int dots = 0;
  double module_mm = 0;
  double size_mm = 0;  // symbol with its quiet zone
};
[[nodiscard]] std::optional<ModuleSize> fit_module(const SymbolMatrix& symbol, double space_mm, double least_module_mm, int dpi);
// Smallest size that is allowed at all.
[[nodiscard]] ModuleSize smallest_module(const SymbolMatrix& symbol, double least_module_mm, int dpi);

}  // namespace sherdmark
