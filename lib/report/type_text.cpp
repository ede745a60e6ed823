#include <fmt/format.h>

#include <algorithm>

#include "report/type_glyphs.h"
#include "sherdmark/base/text.h"
#include "sherdmark/base/units.h"
#include "sherdmark/report/type_report.h"

namespace sherdmark {
namespace {

constexpr std::size_t k_most_pairs = 10;
constexpr std::size_t k_most_numbers = 8;

std::string character(char32_t c) { return printable(encode_utf8({&c, 1})); }

std::string counted(std::size_t count, std::string_view thing) {
  return fmt::format("{} {}{}", count == 0 ? "no" : std::to_string(count), thing, count == 1 ? "" : "s");
}

std::string pairs_text(const TypeJudgement& found) {
  std::string text = fmt::format(
      "Least distinct pairs that stand at the same place (0: the same shape, 1: nothing in common; limit {:g})\n",
      k_distinctness_limit);
  const std::size_t shown = std::min(found.rivals.size(), std::max(k_most_pairs, found.rivals_under_limit));
  for (std::size_t i = 0; i < shown; ++i) {
    const RivalPair& rival = found.rivals[i];
    text += fmt::format("  {} {}   {:.3f}{}   {}  |  {}\n", character(rival.pair.first), character(rival.pair.second),
                        rival.pair.distinctness, rival.pair.distinctness < k_distinctness_limit ? " !" : "  ",
                        printable(rival.first_number), printable(rival.second_number));
  }
  std::vector<GlyphPair> pairs;
  for (std::size_t i = 0; i < shown; ++i) pairs.push_back(found.rivals[i].pair);
  const std::string drawn = glyphs_in_blocks(Typeface::find(found.font), pairs);
  if (found.rivals.empty()) text += "  no two characters share a place\n";
  if (shown < found.rivals.size())
    text += fmt::format("  and {} more, all more distinct\n", found.rivals.size() - shown);
  for (const JoinedPair& one : found.joined)
    text += fmt::format("  {} reads as {}   {:.3f} !   {}  |  {}\n", printable(one.pair), printable(one.single),
                        one.distinctness, printable(one.number), printable(one.reads_as));
  if (found.joined.empty()) text += "  no two neighbours read as one other character\n";
  return drawn.empty() ? text : text + "\nThe least distinct of them, drawn large\n" + drawn;
}

std::string turned_text(const TypeJudgement& found) {
  const auto list = [](const std::vector<UpsideDownPair>& pairs) {
    std::vector<std::string> words;
    for (std::size_t i = 0; i < std::min(pairs.size(), k_most_numbers); ++i)
      words.push_back(printable(pairs[i].number) + " as " + printable(pairs[i].reads_as));
    if (pairs.size() > k_most_numbers) words.emplace_back("…");
    return words.empty() ? std::string{} : ": " + join(words, ", ");
  };
  return fmt::format("Upside down, whole or by one part, without a rule {} would read as another{}.\n{}{}{}.\n",
                     counted(found.turned_bare.size(), "number"), list(found.turned_bare),
                     found.rule.thickness_mm > 0
                         ? fmt::format("With the rule of {:g} mm under each line: ", found.rule.thickness_mm)
                         : "Labels have no rule, so that it stays at ",
                     counted(found.turned_with_rule.size(), "number"), list(found.turned_with_rule));
}

std::string size_text(const Legibility& size) {
  std::string text = fmt::format(
      "Size: capitals {:.2f} mm, {:.1f} minutes of arc at {:g} mm; x-height {:.2f} mm, {:.1f} minutes. Wanted are 16 "
      "at "
      "least,\n20 to 22 preferred: reached at {:.0f} mm and {:.0f} mm. ",
      size.cap_mm, size.cap_arcmin, size.distance_mm, size.x_mm, size.x_arcmin, size.distance_at_least_mm,
      size.distance_at_preferred_mm);
  text += size.lens_power > 1
              ? fmt::format("At {:g} mm a hand lens of {:g} × is needed.\n", size.distance_mm, size.lens_power)
              : fmt::format("At {:g} mm no lens is needed.\n", size.distance_mm);
  return text;
}

std::string fonts_text(const TypeJudgement& found) {
  std::string text =
      "Fonts for these numbers, best first: by pairs under the limit; then those whose 0 and O are apart wherever "
      "they\n"
      "stand, for a reader need not know where a letter may be; then by the mean of the five worst pairs\n";
  std::size_t rank = 0;
  for (const FontMerit& merit : found.fonts) {
    const std::string place = merit.why_not.empty() ? fmt::format("{}.", ++rank) : "-";
    text += fmt::format("  {:>2} {:<17}{}{}\n", place, printable(merit.family),
                        printable(merit_text(merit, found.conditions.size_pt)),
                        merit.family == found.font ? "  (house font)" : "");
  }
  return text;
}

}  // namespace

std::string pair_text(const GlyphPair& pair) { return character(pair.first) + " and " + character(pair.second); }

std::string merit_text(const FontMerit& merit, double size_pt) {
  if (!merit.why_not.empty()) return merit.why_not;
  const std::string worst = merit.worst.empty() ? std::string{"nothing to mistake"}
                                                : fmt::format("worst {} {:.3f}, mean of the five worst {:.3f}",
                                                              pair_text(merit.worst.front()), merit.worst_distinctness,
                                                              merit.mean_of_worst_five);
  return fmt::format("{} under the limit; 0 and O {} {:.3f}; {}; widest number {:.1f} mm",
                     counted(merit.findings, "pair"), merit.tells_zero_from_o() ? "apart" : "alike", merit.zero_and_o,
                     worst, merit.widest_number_em * pt_to_mm(size_pt));
}

std::string type_text(const TypeReport& report) {
  const TypeJudgement& found = report.judgement;
  const ReadingConditions& at = found.conditions;
  std::string text = fmt::format("{} {:g} pt, printed at {} dpi with a toner spread of {:g} mm, read at {:g} mm.\n",
                                 printable(found.font), at.size_pt, at.printer_dpi, at.toner_spread_mm, at.distance_mm);
  text += fmt::format("Numbers: {} ({}), made of {}\n", found.numbers, printable(report.source),
                      printable(found.characters));
  text += found.findings() == 0 ? "Nothing that can be taken for something else was found.\n"
                                : fmt::format("{} found, marked !.\n", counted(found.findings(), "finding"));
  if (report.check_character)
    text += "Each label carries a check character: whoever checks it finds a single misread character out.\n";
  text += "\n" + pairs_text(found) + "\n" + turned_text(found) + "\n" + size_text(found.legibility) + "\n" +
          fonts_text(found) + "\n";
  text += "Soak test: " + printable(report.soak.text) + "\n";
  if (!report.file.empty()) text += "Report: " + printable(report.file) + "\n";
  return text;
}

}  // namespace sherdmark
