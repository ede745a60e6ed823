#include "sherdmark/standard/bench_advice.h"

#include <algorithm>
#include <array>

#include "sherdmark/standard/house_standard.h"
#include "standard_parts.h"
#include "whole_words.h"

namespace sherdmark {
namespace {

constexpr std::array<std::string_view, k_porosities> k_words{"non-porous", "between", "porous"};

// Common practice, no source: what a bench calls porous and what not, by the words of catalogs.
constexpr std::array<std::string_view, 14> k_non_porous{"glass",   "glazed", "porcelain", "obsidian", "chert",
                                                        "flint",   "quartz", "quartzite", "enamel",   "basalt",
                                                        "faience", "slate",  "vitrified", "jade"};
constexpr std::array<std::string_view, 12> k_porous{"bone",      "antler",     "shell",   "sandstone",
                                                    "limestone", "chalk",      "plaster", "daub",
                                                    "brick",     "terracotta", "pumice",  "unglazed"};

constexpr std::string_view k_place =
    "The least visible place that can be read with the least handling; on sherds the undecorated face.";
constexpr std::string_view k_never =
    "Rims, break edges, decoration, residue, use wear, fracture lines, resting surfaces, an old number.";
constexpr std::string_view k_adhesive = "The house standard names none: ask the conservator.";

bool any_has(const std::vector<std::string>& wanted, std::string_view text) {
  return wanted.empty() ||
         std::ranges::any_of(wanted, [text](const std::string& words) { return has_words(text, words); });
}

Porosity porosity_by_words(std::string_view material, std::string_view surface) {
  const auto says = [&](std::string_view word) { return has_words(material, word) || has_words(surface, word); };
  if (says("unglazed")) return Porosity::porous;
  if (std::ranges::any_of(k_non_porous, says)) return Porosity::non_porous;
  return std::ranges::any_of(k_porous, says) ? Porosity::porous : Porosity::middling;
}

}  // namespace

std::string_view to_text(Porosity porosity) { return k_words.at(static_cast<std::size_t>(porosity)); }

void read_bench_advice(SectionReader& root, HouseStandard& standard) {
  for (SectionReader& section : root.list("bench")) {
    BenchAdvice advice;
    advice.materials = section.texts("materials");
    advice.surfaces = section.texts("surfaces");
    constexpr std::array k_order{Porosity::non_porous, Porosity::middling, Porosity::porous};
    advice.porosity = k_order.at(section.choice("porosity"));
    advice.place = section.text("place");
    advice.never = section.text("never");
    advice.adhesive = section.text("adhesive");
    standard.bench_advice.push_back(std::move(advice));
  }
}

BenchAdvice bench_advice(const HouseStandard& standard, std::string_view material, std::string_view surface) {
  const auto found = std::ranges::find_if(standard.bench_advice, [&](const BenchAdvice& one) {
    return any_has(one.materials, material) && any_has(one.surfaces, surface);
  });
  BenchAdvice advice;
  if (found != standard.bench_advice.end())
    advice = *found;
  else
    advice.porosity = porosity_by_words(material, surface);
  if (advice.place.empty()) advice.place = k_place;
  if (advice.never.empty()) advice.never = k_never;
  if (advice.adhesive.empty()) advice.adhesive = k_adhesive;
  return advice;
}

}  // namespace sherdmark
