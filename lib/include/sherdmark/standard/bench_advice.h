// What the house standard says about applying artifact labels: how porous a surface is, where a label goes and where it
// never goes, with what it is glued. The first piece of advice whose conditions hold is taken, like label rules.
// Working order on the bench, what is not porous first and porous last, is common practice, no source.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace sherdmark {

struct HouseStandard;

// In working order.
enum class Porosity { non_porous, middling, porous };
inline constexpr int k_porosities = 3;
[[nodiscard]] std::string_view to_text(Porosity porosity);  // "non-porous", "between", "porous"

struct BenchAdvice {
  std::vector<std::string> materials;  // whole words, case-insensitive; empty: any
  std::vector<std::string> surfaces;   // likewise
  Porosity porosity = Porosity::middling;
  std::string place;     // where the label goes
  std::string never;     // where it never goes
  std::string adhesive;  // with what, and how
};

// Never empty in its texts: what the standard leaves out is filled with what holds everywhere (docs/cautions.md), and
// an adhesive that it does not name is the conservator's to name. Porosity: the standard's, else by words of material
// and surface that are known, else between the two.
[[nodiscard]] BenchAdvice bench_advice(const HouseStandard& standard, std::string_view material,
                                       std::string_view surface);

}  // namespace sherdmark
