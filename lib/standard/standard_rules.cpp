#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "sherdmark/base/text.h"
#include "sherdmark/standard/privacy.h"
#include "standard_parts.h"

namespace sherdmark {
namespace {

bool has_no_condition(const LabelRule& rule) {
  return rule.kinds.empty() && rule.materials.empty() && rule.surfaces.empty() && rule.any_flag.empty() &&
         !rule.at_least_mm && !rule.under_mm && !rule.size_unknown;
}

bool can_sub_number(const HouseStandard& standard) {
  return std::any_of(standard.schemes.begin(), standard.schemes.end(), [](const Scheme& scheme) {
    return std::any_of(scheme.parts().begin(), scheme.parts().end(),
                       [](const SchemePart& part) { return part.level == NumberLevel::piece; });
  });
}

LabelRule read_rule(SectionReader& section) {
  LabelRule rule;
  rule.name = section.text("name");
  for (const std::string& kind : section.texts("kinds")) {
    if (const std::optional<ItemKind> known = parse_item_kind(kind))
      rule.kinds.push_back(*known);
    else
      section.problem(
          "kinds", fmt::format("\"{}\" is no kind of item. The kinds are artifact, bulk, sample, assembly and record.",
                               printable(kind)));
  }
  rule.materials = section.texts("materials");
  rule.surfaces = section.texts("surfaces");
  rule.any_flag = section.texts("any_flag");
  rule.at_least_mm = section.optional_length_mm("at_least");
  rule.under_mm = section.optional_length_mm("under");
  rule.size_unknown = section.boolean("size_unknown");
  rule.decision = static_cast<LabelDecision>(section.choice("label"));
  rule.numbering = static_cast<Numbering>(section.choice("numbering"));
  rule.sample_share = section.decimal("sample_percent") / 100.0;
  rule.sample_least = section.whole("sample_least");
  rule.reason = section.text("reason");
  rule.caution = section.text("caution");
  return rule;
}

void check_rule(SectionReader& section, const LabelRule& rule, const HouseStandard& standard) {
  if (rule.decision != LabelDecision::direct)
    for (const std::string_view key : {"numbering", "sample_percent", "sample_least"})
      if (section.has(key))
        section.problem(key,
                        fmt::format("\"{}\" speaks of artifact labels, but this rule makes none. Take it out.", key));
  if (section.has("sample_percent") && rule.sample_share <= 0)
    section.problem("sample_percent", "A sample of 0 % labels nothing. Write label = \"tag only\" instead.");
  if (rule.at_least_mm && rule.under_mm && *rule.at_least_mm >= *rule.under_mm)
    section.problem("", "No size is both at least and under these lengths. Exchange or correct them.");
  if (rule.size_unknown && (rule.at_least_mm || rule.under_mm))
    section.problem("size_unknown", "A rule for unknown sizes cannot also ask for a size. Make two rules of it.");
  if (rule.decision == LabelDecision::direct && rule.numbering == Numbering::sub_numbered && !can_sub_number(standard))
    section.problem("numbering",
                    "No scheme has a part of level \"piece\" to number pieces with. Add one, or share the number.");
  for (const std::string& flag : rule.any_flag)
    if (rule.decision != LabelDecision::never && is_care_flag(standard, flag))
      section.problem(
          "any_flag",
          fmt::format(
              "\"{}\" is one of the care flags, which allow no label at all. Take it out of one of the two lists.",
              printable(flag)));
}

}  // namespace

void read_rules(SectionReader& root, HouseStandard& standard, StandardNotes& notes) {
  std::set<std::string> names;
  std::string catch_all;
  const bool schemes_are_sound = notes.problems.empty();
  for (SectionReader& section : root.list("rule")) {
    LabelRule rule = read_rule(section);
    if (schemes_are_sound || rule.numbering == Numbering::shared) check_rule(section, rule, standard);
    if (!names.insert(rule.name).second)
      section.problem("name",
                      fmt::format("Two rules are called \"{}\". Give each a name of its own.", printable(rule.name)));
    if (!catch_all.empty())
      section.problem(
          "name",
          fmt::format("This rule is never reached: \"{}\" above it matches everything. Move that one to the end.",
                      catch_all));
    else if (has_no_condition(rule))
      catch_all = rule.name;
    standard.rules.push_back(std::move(rule));
  }
}

}  // namespace sherdmark
