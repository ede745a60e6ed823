#include "sherdmark/standard/house_standard.h"

#include <fmt/format.h>

#include <algorithm>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "standard_parts.h"

namespace sherdmark {
namespace {

void read_opening(SectionReader& root, HouseStandard& standard) {
  SectionReader section = root.section("standard");
  standard.name = section.text("name");
  standard.version = section.text("version");
  standard.repository = section.text("repository");
  standard.default_scheme = section.text("default_scheme");
  constexpr std::string_view k_orders[] = {"ymd", "mdy", "dmy"};
  standard.date_order = k_orders[section.choice("date_order")];
  standard.bagging = static_cast<Bagging>(section.choice("bagging"));
  standard.drying_hours = static_cast<int>(section.whole("drying_hours"));
  if (section.has("box_weight_limit_kg")) standard.box_weight_limit_kg = section.decimal("box_weight_limit_kg");
  standard.soak_test_days = static_cast<int>(section.whole("soak_test_days"));
  standard.care_flags = section.texts("care_flags");
  standard.cautions = section.texts("cautions");
  standard.required_columns = section.texts("required_columns");
}

std::string list_problems(const std::vector<StandardProblem>& problems, const std::string& file_name) {
  std::string text = problems[0].text;
  constexpr std::size_t k_most_listed = 200;
  if (problems.size() == 2) text += " There is one more problem:";
  if (problems.size() > 2) text += fmt::format(" There are {} more problems:", problems.size() - 1);
  for (std::size_t i = 1; i < std::min(problems.size(), k_most_listed); ++i)
    text += "\n" + describe({file_name, problems[i].place.line, problems[i].place.column}) + ": " + problems[i].text;
  if (problems.size() > k_most_listed) text += fmt::format("\n… and {} more.", problems.size() - k_most_listed);
  return text;
}

}  // namespace

HouseStandard read_standard(std::string_view toml_text, const std::string& file_name, StandardNotes& notes) {
  const TomlNode tree = read_toml(toml_text, file_name);
  check_keys(tree, notes);
  SectionReader root{&tree, "", {1, 1}, notes};
  HouseStandard standard;
  standard.source = toml_text;
  read_opening(root, standard);
  read_columns(root, standard, notes);
  read_schemes(root, standard, notes);
  read_rules(root, standard, notes);
  read_bench_advice(root, standard);
  read_designs(root, standard, notes);
  std::stable_sort(notes.problems.begin(), notes.problems.end(),
                   [](const StandardProblem& a, const StandardProblem& b) {
                     return std::pair{a.place.line, a.place.column} < std::pair{b.place.line, b.place.column};
                   });
  return standard;
}

HouseStandard parse_house_standard(std::string_view toml_text, const std::string& file_name) {
  StandardNotes notes;
  HouseStandard standard = read_standard(toml_text, file_name, notes);
  if (notes.problems.empty()) return standard;
  const TomlPlace& first = notes.problems[0].place;
  throw data_error(list_problems(notes.problems, file_name), {file_name, first.line, first.column}, "");
}

const Scheme& HouseStandard::scheme(std::string_view scheme_name) const {
  for (const Scheme& one : schemes)
    if (one.name() == scheme_name) return one;
  throw internal_error(fmt::format("No scheme \"{}\" in the house standard.", printable(scheme_name)));
}

std::optional<ParsedNumber> HouseStandard::parse_number(std::string_view text) const {
  const auto try_scheme = [text](const Scheme& one) -> std::optional<ParsedNumber> {
    auto result = one.parse(text);
    if (auto* parsed = std::get_if<ParsedNumber>(&result)) return std::move(*parsed);
    return std::nullopt;
  };
  auto found = try_scheme(scheme(default_scheme));
  if (found && found->corrections.empty()) return found;
  // What another scheme reads as it stands is not the default scheme's with something put right.
  for (const Scheme& one : schemes)
    if (one.name() != default_scheme)
      if (auto parsed = try_scheme(one); parsed && (!found || parsed->corrections.empty())) {
        const bool as_it_stands = parsed->corrections.empty();
        found = std::move(parsed);
        if (as_it_stands) return found;
      }
  return found;
}

ColumnClass HouseStandard::column_class(std::string_view field) const {
  const auto named = column_classes.find(std::string{field});
  return named == column_classes.end() ? ColumnClass::internal : named->second;
}

}  // namespace sherdmark
