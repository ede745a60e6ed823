#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "standard_parts.h"

namespace sherdmark {
namespace {

// Which kinds a key of a part speaks about.
struct KeyUse {
  std::string_view key;
  std::vector<PartKind> kinds;
};

const std::vector<KeyUse>& key_uses() {
  using enum PartKind;
  static const std::vector<KeyUse> k_uses{{"smallest", {trinomial, year, integer}},
                                          {"largest", {trinomial, year, integer}},
                                          {"digits", {trinomial, integer}},
                                          {"shortest", {letters, free}},
                                          {"longest", {letters, free}},
                                          {"alphabet", {letters, free}},
                                          {"choices", {one_of}},
                                          {"states", {trinomial}},
                                          {"suffix_letters", {trinomial}}};
  return k_uses;
}

SchemePart read_part(SectionReader& section) {
  SchemePart part;
  part.name = section.text("name");
  part.kind = static_cast<PartKind>(section.choice("kind"));
  part.level = static_cast<NumberLevel>(section.choice("level"));
  part.separator = section.text("separator");
  part.optional = section.boolean("optional");
  part.smallest = section.whole("smallest");
  part.largest = section.whole("largest");
  part.pad_to_digits = static_cast<int>(section.whole("digits"));
  part.shortest = static_cast<int>(section.whole("shortest"));
  part.longest = static_cast<int>(section.whole("longest"));
  part.alphabet = section.text("alphabet");
  part.choices = section.texts("choices");
  const std::vector<std::string> states = section.texts("states");
  const std::string suffixes = section.text("suffix_letters");
  for (const KeyUse& use : key_uses())
    if (section.has(use.key) && std::find(use.kinds.begin(), use.kinds.end(), part.kind) == use.kinds.end())
      section.problem(use.key,
                      fmt::format("\"{}\" says nothing about a part of kind \"{}\". Take it out, or change the kind.",
                                  use.key, to_text(part.kind)));
  if (part.kind == PartKind::year && !section.has("smallest")) part.smallest = 1000;
  if (part.kind == PartKind::trinomial) {
    part.choices = states;
    part.alphabet = suffixes;
  }
  return part;
}

void add_scheme(SectionReader& section, HouseStandard& standard, StandardNotes& notes) {
  const std::string name = section.text("name");
  std::vector<SchemePart> parts;
  const std::size_t problems_before = notes.problems.size();
  for (SectionReader& part : section.list("part")) parts.push_back(read_part(part));
  if (std::any_of(standard.schemes.begin(), standard.schemes.end(),
                  [&name](const Scheme& s) { return s.name() == name; }))
    section.problem("name",
                    fmt::format("Two schemes are called \"{}\". Give each a name of its own.", printable(name)));
  if (notes.problems.size() != problems_before) return;  // its parts are not trustworthy
  try {
    Scheme scheme{name, std::move(parts)};
    const auto& built = scheme.parts();
    if (std::none_of(built.begin(), built.end(),
                     [](const SchemePart& part) { return part.level == NumberLevel::item; }))
      section.problem(
          "name",
          fmt::format("No part of the scheme \"{}\" has the level \"item\". Say which part names the item.", name));
    standard.schemes.push_back(std::move(scheme));
  } catch (const Error& problem) {
    section.problem("name", problem.problem() + " " + problem.remedy());
  }
}

}  // namespace

void read_schemes(SectionReader& root, HouseStandard& standard, StandardNotes& notes) {
  const std::size_t problems_before = notes.problems.size();
  std::set<std::string> named;
  for (SectionReader& section : root.list("scheme")) {
    add_scheme(section, standard, notes);
    if (section.has("name")) named.insert(section.text("name"));
  }
  SectionReader opening = root.section("standard");
  if (named.empty())
    root.problem("scheme", "There is no scheme. Add a [[scheme]] section that says how numbers are built.");
  if (notes.problems.size() == problems_before && !named.contains(standard.default_scheme))
    opening.problem("default_scheme", fmt::format("There is no scheme \"{}\". Name one of the [[scheme]] sections.",
                                                  printable(standard.default_scheme)));
  SectionReader accessions = root.section("accessions");
  for (const SectionReader::Pair& pair : accessions.pairs()) {
    if (!named.contains(pair.value))
      notes.add(
          pair.place,
          fmt::format(
              "Accession \"{}\" names the scheme \"{}\", which does not exist. Name one of the [[scheme]] sections.",
              printable(pair.key), printable(pair.value)));
    standard.accession_scheme[pair.key] = pair.value;
  }
}

}  // namespace sherdmark
