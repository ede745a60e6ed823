#include "sherdmark/standard/new_standard.h"

#include <fmt/format.h>

#include <algorithm>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/standard/house_standard.h"

namespace sherdmark {
namespace {

constexpr std::size_t k_longest_example = 40;
constexpr std::string_view k_separators = "-./_: ";

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_letter(char c) { return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z'); }

// Length of "16ZQ5" at the start: state number, two capitals, running number. 0 when there is none.
std::size_t trinomial_length(std::string_view text) {
  std::size_t at = 0;
  while (at < text.size() && at < 2 && is_digit(text[at])) ++at;
  if (at == 0 || at + 2 >= text.size()) return 0;
  for (int i = 0; i < 2; ++i, ++at)
    if (text[at] < 'A' || text[at] > 'Z') return 0;
  const std::size_t running = at;
  while (at < text.size() && is_digit(text[at])) ++at;
  return at == running ? 0 : at;
}

std::string kind_of(const std::string& piece) {
  if (!is_digit(piece.front())) return "letters";
  const bool year = piece.size() == 4 && piece >= "1800" && piece <= "2199";
  return year ? "year" : "integer";
}

Error no_number(std::string_view example, std::string_view why) {
  return data_error(fmt::format("\"{}\" is not taken as a catalog number: {}.", printable(example), why), {},
                    "Write one as it stands on an object, e.g. 2031-114-12; docs/house-standard.md says how others are "
                    "described.");
}

// A basic string of TOML 1.0.
std::string in_quotes(std::string_view text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\') out += '\\';
    out += static_cast<unsigned char>(c) < 0x20 || c == 0x7F ? ' ' : c;
  }
  return out + "\"";
}

std::string level_of(const std::vector<NumberPiece>& pieces, std::size_t at, bool names_lots) {
  if (at + 1 == pieces.size()) return "item";
  if (names_lots && pieces.size() >= 3 && at + 2 == pieces.size()) return "lot";
  return pieces[at].kind == "trinomial" ? "site" : "accession";
}

std::string part_text(const std::vector<NumberPiece>& pieces, std::size_t at, const StandardAnswers& answers) {
  const NumberPiece& piece = pieces[at];
  const std::string level = level_of(pieces, at, answers.names_lots);
  const bool fixed = at == 0 && pieces.size() > 1 && answers.fixed_letters && piece.kind == "letters";
  std::string text = fmt::format("\n[[scheme.part]]\nname = \"{}\"\nkind = \"{}\"\nlevel = \"{}\"\n",
                                 piece.kind == "year" ? "year" : fmt::format("{} {}", level, at + 1),
                                 fixed ? "one of" : piece.kind, level);
  if (!piece.separator.empty()) text += fmt::format("separator = {}\n", in_quotes(piece.separator));
  // Without its item the number names the lot.
  if (level == "item" && at > 0 && level_of(pieces, at - 1, answers.names_lots) == "lot") text += "optional = true\n";
  if (fixed) {
    text += fmt::format("choices = [{}]\n", in_quotes(piece.text));
  } else if (piece.kind == "integer") {
    const bool padded = piece.text.size() > 1 && piece.text.front() == '0';
    if (padded) text += fmt::format("digits = {}\n", piece.text.size());
    text += fmt::format("largest = {}\n", padded ? std::string(piece.text.size(), '9')
                                                 : std::string(std::max<std::size_t>(piece.text.size() + 1, 4), '9'));
  } else if (piece.kind == "letters") {
    const bool capitals = piece.text.front() <= 'Z';
    text += fmt::format("shortest = {0}\nlongest = {0}\nalphabet = \"{1}\"\n", piece.text.size(),
                        capitals ? "ABCDEFGHIJKLMNOPQRSTUVWXYZ" : "abcdefghijklmnopqrstuvwxyz");
  }
  return text;
}

std::string paper_text(std::string_view section, Paper paper, std::string_view material) {
  const std::string margins = "margin_left_mm = 6\nmargin_right_mm = 6\nmargin_top_mm = 6\nmargin_bottom_mm = 6\n";
  const std::string size = paper == Paper::a4 ? "name = \"A4\"\nwidth_mm = 210\nheight_mm = 297\n"
                                              : "name = \"Letter\"\nwidth_in = 8.5\nheight_in = 11\n";
  return fmt::format("\n[{}]\n{}{}material = \"{}\"\n", section, size, margins, material);
}

// Common practice, no source: the conservative set; a repository goes on from it.
constexpr std::string_view k_rules = R"(
# The first rule that fits decides. Put your own in front.
[[rule]]
name = "samples and records"
kinds = ["sample", "record"]
label = "tag only"
reason = "Samples and papers are kept in containers that carry the number."
caution = "Keep adhesive and bare hands away from samples."

[[rule]]
name = "metal"
materials = ["iron", "copper alloy", "bronze", "lead", "silver", "metal"]
label = "tag only"
reason = "Metal corrodes under a label."
caution = "Keep dry; tag in the bag."

[[rule]]
name = "leather, textile, wood"
materials = ["leather", "textile", "wood", "horn"]
label = "tag only"
reason = "Organic surfaces take up adhesive for ever."
caution = "Keep in the climate the conservator has set."

[[rule]]
name = "unsound surface"
surfaces = ["corroding", "wet", "waxed", "friable", "flaking", "unfired"]
label = "tag only"
reason = "A wet, waxed, corroding or friable surface is harmed by a label."
caution = "Ask the conservator before handling."
)";

constexpr std::string_view k_last_rules = R"(
[[rule]]
name = "large enough"
at_least_mm = {0}
label = "direct"
reason = "Sound, dry and at least {0} mm across."
caution = "Never on rims, break edges, decoration, residue or wear. Never over an old number."

[[rule]]
name = "small or not measured"
label = "tag only"
reason = "Under {0} mm across, or nobody measured it."
)";

constexpr std::string_view k_labels = R"(
[artifact_label]
font = "Hack"
size_pt = 5

[carrier_label]
font = "DejaVu Sans"

[bag_label]
fields = ["number", "bag", "accession", "unit", "stratum", "level", "depth", "date", "excavators", "object", "material", "count", "weight", "remarks", "repository"]

[tag]
fields = ["number", "bag", "unit", "stratum", "level", "feature", "depth", "date", "object", "material", "count"]
)";

constexpr std::string_view k_cautions = R"(care_flags = ["human_remains", "funerary", "sacred"]
cautions = [
  "Blades cut: keep fingers behind the ruler, and close the cutter when you leave it.",
  "Adhesives with solvent only under extraction, with gloves and without flame.",
  "Try adhesive and toner on a printed scrap before they touch a find.",
  "Nothing is bagged before it is dry.",
]
)";

constexpr std::string_view k_columns = R"(
# Headings of your spreadsheet that are not found by themselves, and the fields they are; write yours without the #.
[columns]
# "Inv. Nr." = "number"
)";

std::string scheme_text(const StandardAnswers& answers, const std::vector<NumberPiece>& pieces) {
  std::string text =
      "\n# How a catalog number is built, as in " + number_of(pieces) + "\n[[scheme]]\nname = \"numbers\"\n";
  for (std::size_t at = 0; at < pieces.size(); ++at) text += part_text(pieces, at, answers);
  if (answers.letters_for_pieces && pieces.back().kind != "letters")
    text +=
        "\n# No i, l or o: they are too like 1 and 0.\n[[scheme.part]]\nname = \"piece\"\nkind = \"letters\"\n"
        "level = \"piece\"\noptional = true\nshortest = 1\nlongest = 2\nalphabet = \"abcdefghjkmnpqrstuvwxyz\"\n";
  return text;
}

}  // namespace

std::vector<NumberPiece> cut_number(std::string_view example) {
  if (example.empty()) throw no_number(example, "it is empty");
  if (example.size() > k_longest_example) throw no_number(example, "it has more than 40 characters");
  std::vector<NumberPiece> pieces;
  std::size_t at = trinomial_length(example);
  if (at > 0) pieces.push_back({{}, std::string{example.substr(0, at)}, "trinomial"});
  while (at < example.size()) {
    NumberPiece piece;
    const std::size_t separator_at = at;
    while (at < example.size() && k_separators.find(example[at]) != std::string_view::npos)
      if (example[at++] != ' ') piece.separator += example[at - 1];
    const bool spaced = at != separator_at && piece.separator.empty();
    if (at == example.size()) throw no_number(example, "it ends with a separator");
    const auto same = is_digit(example[at]) ? is_digit : is_letter;
    if (!same(example[at]))
      throw no_number(example, "only letters, digits and - . / _ : and spaces are understood here");
    while (at < example.size() && same(example[at])) piece.text += example[at++];
    if (pieces.empty() && separator_at != at - piece.text.size())
      throw no_number(example, "it begins with a separator");
    if (spaced && same(example[separator_at - 1]))
      throw no_number(example, fmt::format("between {} and {} stands only a space, which people and spreadsheets lose",
                                           pieces.back().text, piece.text));
    piece.kind = kind_of(piece.text);
    pieces.push_back(std::move(piece));
  }
  return pieces;
}

std::string number_of(const std::vector<NumberPiece>& pieces) {
  std::string text;
  for (const NumberPiece& piece : pieces) text += piece.separator + piece.text;
  return text;
}

std::string write_house_standard(const StandardAnswers& answers) {
  if (trim(answers.repository).empty())
    throw data_error("the repository has no name.", {}, "Say what your repository is called; it stands on bag labels.");
  std::string text = fmt::format(
      "# House standard of {0}. Made from answers to a few questions: read it with your curator and conservator,\n"
      "# and change what is not your rule. docs/house-standard.md explains every key.\n\n"
      "[standard]\nname = {1}\nversion = \"1\"\nrepository = {2}\ndefault_scheme = \"numbers\"\ndate_order = {3}\n"
      "bagging = {4}\ndrying_hours = 24\n",
      printable(trim(answers.repository)), in_quotes(fmt::format("{} house standard", trim(answers.repository))),
      in_quotes(trim(answers.repository)), in_quotes(answers.date_order), in_quotes(answers.bagging));
  text += k_cautions;
  const std::vector<NumberPiece> pieces = cut_number(answers.example);
  text += scheme_text(answers, pieces);
  text += k_rules;
  text += fmt::format(fmt::runtime(k_last_rules), answers.smallest_labelled_mm);
  text += paper_text("artifact_paper", answers.paper, "acid-free paper, alkaline buffered");
  text += paper_text("carrier_paper", answers.paper, "acid-free card, alkaline buffered");
  text += k_labels;
  text += k_columns;
  const HouseStandard standard = parse_house_standard(text, "the answers");
  const auto read = standard.parse_number(answers.example);
  if (!read || read->number.text() != number_of(pieces) || read->number.level() != NumberLevel::item)
    throw no_number(answers.example, "it could be read in more than one way");
  require_lots_with_numbers(standard, "the answers");
  return text;
}

void require_lots_with_numbers(const HouseStandard& standard, const std::string& file) {
  for (const Scheme& scheme : standard.schemes) {
    const std::vector<SchemePart>& parts = scheme.parts();
    for (std::size_t i = 0; i + 1 < parts.size(); ++i)
      if (parts[i].level == NumberLevel::lot && parts[i + 1].level != NumberLevel::lot && !parts[i + 1].optional)
        throw data_error(
            fmt::format("In the scheme \"{}\" the part \"{}\" names a lot, but no number may end after it, "
                        "so no lot would have a number",
                        printable(scheme.name()), printable(parts[i].name)),
            {.file = file},
            fmt::format("Write optional = true under the part \"{}\" and those after it, or give \"{}\" "
                        "another level.",
                        printable(parts[i + 1].name), printable(parts[i].name)));
  }
}

}  // namespace sherdmark
