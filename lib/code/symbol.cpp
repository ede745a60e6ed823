#include "sherdmark/code/symbol.h"

#include <algorithm>
#include <cmath>

#include "sherdmark/base/error.h"
#include "sherdmark/base/units.h"
#include "sherdmark/code/link_code.h"

namespace sherdmark {
namespace {

constexpr int k_least_dots = 4;
// Module sizes are stated to a hundredth of a millimetre: 4 dots at 600 dpi are 0.1693 mm and count as 0.17.
constexpr double k_stated_to_mm = 0.005;
constexpr double k_slack_mm = 1e-9;

int modules_with_quiet_zone(const SymbolMatrix& symbol) {
  return std::max(symbol.width_modules, symbol.height_modules) + 2 * symbol.quiet_zone_modules;
}

ModuleSize size_at(const SymbolMatrix& symbol, int dots, int dpi) {
  const double module_mm = dots_to_mm(dots, dpi);
  return {dots, module_mm, module_mm * modules_with_quiet_zone(symbol)};
}

void require_printer(int dpi) {
  if (dpi < 1) throw internal_error("A printer without a resolution.");
}

}  // namespace

std::string_view to_text(SymbolFormat format) {
  switch (format) {
    case SymbolFormat::qr:
      return "qr";
    case SymbolFormat::micro_qr:
      return "micro-qr";
    case SymbolFormat::data_matrix:
      return "data-matrix";
    case SymbolFormat::code_128:
      return "code-128";
    case SymbolFormat::code_39:
      return "code-39";
    case SymbolFormat::ean:
      return "ean";
    case SymbolFormat::itf:
      return "itf";
    case SymbolFormat::aztec:
      return "aztec";
    case SymbolFormat::pdf417:
      return "pdf417";
    case SymbolFormat::codabar:
      return "codabar";
    case SymbolFormat::other:
      return "other";
  }
  throw internal_error("A code format without a name.");
}

ModuleSize smallest_module(const SymbolMatrix& symbol, double least_module_mm, int dpi) {
  require_printer(dpi);
  const double dots = mm_to_dots(least_module_mm - k_stated_to_mm, dpi);
  return size_at(symbol, std::max(k_least_dots, static_cast<int>(std::ceil(dots))), dpi);
}

std::optional<ModuleSize> fit_module(const SymbolMatrix& symbol, double space_mm, double least_module_mm, int dpi) {
  const ModuleSize smallest = smallest_module(symbol, least_module_mm, dpi);
  if (!(smallest.size_mm <= space_mm + k_slack_mm)) return std::nullopt;
  const double dots = mm_to_dots(space_mm + k_slack_mm, dpi) / modules_with_quiet_zone(symbol);
  return size_at(symbol, std::max(smallest.dots, static_cast<int>(std::floor(dots))), dpi);
}

MicroCodeChoice choose_micro_code(std::string_view longest_number, double least_module_mm, int dpi) {
  MicroCodeChoice choice;
  choice.text = write_micro_code({std::string{longest_number}});
  const SymbolMatrix data_matrix = make_data_matrix(choice.text);
  choice.data_matrix = {data_matrix, smallest_module(data_matrix, least_module_mm, dpi)};
  choice.best = SymbolFormat::data_matrix;
  try {
    const SymbolMatrix micro_qr = make_micro_qr(choice.text, ErrorLevel::m);
    choice.micro_qr = {micro_qr, smallest_module(micro_qr, least_module_mm, dpi)};
    if (choice.micro_qr->size.size_mm <= choice.data_matrix.size.size_mm) choice.best = SymbolFormat::micro_qr;
  } catch (const Error& error) {
    if (error.family() != ErrorFamily::data) throw;  // too long for Micro QR: Data Matrix it is
  }
  return choice;
}

}  // namespace sherdmark
