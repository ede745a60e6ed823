#include "sherdmark/sheet/worst_case.h"

#include <fmt/format.h>

#include "sherdmark/base/error.h"
#include "sherdmark/code/link_code.h"

namespace sherdmark {
namespace {

// Every field as long as it can come out of a ledger.
std::string longest_link(const std::string& number) {
  return write_link_code({.collection_key = "ZZZZ",
                          .role = LabelRole::bag,
                          .subject = "BZZZZZZZZ",
                          .number = number,
                          .number_is_opaque = false,
                          .ordinal = 1,
                          .serial = "ZZZZZZZZ",
                          .revision = 1});
}

ModuleSize carrier_size(const SymbolMatrix& symbol, const CarrierDesign& design, int dpi, std::string_view what) {
  const ModuleSize size = smallest_module(symbol, design.module_mm, dpi);
  if (size.size_mm > design.width_mm || size.size_mm > design.height_mm)
    throw data_error(
        fmt::format("the code of the longest number needs {:.1f} mm, but the {} is only {:.1f} x {:.1f} mm.",
                    size.size_mm, what, design.width_mm, design.height_mm),
        {}, "Make the label larger in the house standard.");
  return size;
}

}  // namespace

std::vector<WorstCase> worst_cases(const HouseStandard& standard) {
  const Typeface face = Typeface::find(standard.artifact.font);
  std::vector<WorstCase> cases;
  for (const Scheme& scheme : standard.schemes) {
    WorstCase one;
    one.scheme = scheme.name();
    one.number = scheme.longest_number();
    const auto parsed = scheme.parse(one.number);
    const auto* longest = std::get_if<ParsedNumber>(&parsed);
    if (longest == nullptr) throw internal_error(fmt::format("{} is no number of its own scheme.", one.number));
    one.carrier = make_qr(longest_link(one.number), ErrorLevel::q);
    one.bag_code = carrier_size(one.carrier, standard.bag, standard.printer.dpi, "bag label");
    one.tag_code = carrier_size(one.carrier, standard.tag, standard.printer.dpi, "tag");
    one.micro = choose_micro_code(one.number, standard.artifact.micro_module_mm, standard.printer.dpi);
    one.lines = break_artifact_text(scheme, longest->number, standard.artifact, face);
    std::optional<SymbolMatrix> code;
    if (standard.artifact.micro_code == MicroCode::data_matrix) code = one.micro.data_matrix.symbol;
    if (standard.artifact.micro_code == MicroCode::micro_qr) {
      if (!one.micro.micro_qr)
        throw data_error(fmt::format("{} is too long for a Micro QR code.", one.number), {},
                         "Choose data-matrix for the artifact's micro-code in the house standard.");
      code = one.micro.micro_qr->symbol;
    }
    one.label = artifact_label_size(one.lines, standard.artifact, face, code, standard.printer.dpi);
    cases.push_back(std::move(one));
  }
  return cases;
}

}  // namespace sherdmark
