#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "report/count_words.h"
#include "report/verdict_words.h"
#include "sherdmark/base/text.h"
#include "sherdmark/catalog/read_catalog.h"
#include "sherdmark/ledger/identity.h"
#include "sherdmark/report/check_report.h"
#include "sherdmark/verify/reasons.h"

namespace sherdmark {
namespace {

using Cells = std::vector<std::string>;

std::string or_dash(const std::optional<std::string>& text) { return text && !text->empty() ? printable(*text) : "-"; }

Cells table_line(const SetVerdict& verdict) {
  const std::vector<std::string> bags = bags_named(verdict);
  return {std::string{to_text(verdict.verdict)},
          verdict.bag ? group_identity(printable(*verdict.bag)) : "-",
          or_dash(verdict.number),
          fmt::format("{} of {}{}", verdict.seen, verdict.expected,
                      bags.size() > 1 ? fmt::format(", of {} bags", bags.size()) : std::string{}),
          verdict.unlabelled ? std::to_string(*verdict.unlabelled) : "-",
          std::string{to_text(verdict.evidence)},
          verdict.place_checked ? "yes" : "no",
          printable(verdict.set)};
}

std::string aligned(const std::vector<Cells>& lines) {
  std::vector<std::size_t> widths(lines.front().size(), 0);
  for (const Cells& line : lines)
    for (std::size_t i = 0; i < line.size(); ++i) widths[i] = std::max(widths[i], code_point_count(line[i]));
  std::string text;
  for (const Cells& line : lines) {
    std::string row;
    for (std::size_t i = 0; i < line.size(); ++i)
      row += line[i] + std::string(widths[i] - code_point_count(line[i]) + 2, ' ');
    text += row.substr(0, row.find_last_not_of(' ') + 1) + "\n";
  }
  return text;
}

std::string heading(const SetVerdict& verdict) {
  std::string text = printable(verdict.set);
  if (verdict.bag) text += fmt::format(" (bag {})", group_identity(printable(*verdict.bag)));
  return text + ": " + to_upper_ascii(to_text(verdict.verdict)) + "\n";
}

// A reason, and under it what to do; the same remedy is not said twice in a set.
std::string details(const SetVerdict& verdict) {
  std::string text = heading(verdict);
  std::vector<std::string_view> said;
  for (const Reason& reason : verdict.reasons) {
    text += "  - " + group_identities(printable(reason.text)) + "\n";
    const auto rule = find_reason_rule(reason.code);
    if (!rule || rule->remedy.empty() || std::find(said.begin(), said.end(), rule->remedy) != said.end()) continue;
    text += fmt::format("      What to do: {}\n", rule->remedy);
    said.push_back(rule->remedy);
  }
  for (const std::string& note : verdict.notes) text += "  - Note: " + printable(note) + "\n";
  return text + "  " + not_tested(verdict) + "\n";
}

bool worth_telling(const SetVerdict& verdict) {
  return verdict.verdict != Verdict::agree || verdict.reasons.size() > 1 || !verdict.notes.empty();
}

}  // namespace

VerdictCounts count_verdicts(std::span<const SetVerdict> verdicts) {
  VerdictCounts counts{};
  for (const SetVerdict& verdict : verdicts) ++counts[static_cast<std::size_t>(verdict.verdict)];
  return counts;
}

bool all_agree(std::span<const SetVerdict> verdicts) {
  return !verdicts.empty() && std::all_of(verdicts.begin(), verdicts.end(),
                                          [](const SetVerdict& verdict) { return verdict.verdict == Verdict::agree; });
}

std::string check_text(std::span<const SetVerdict> verdicts) {
  if (verdicts.empty()) return "No set was judged.\n";
  std::vector<Cells> lines{
      {"VERDICT", "BAG", "NUMBER", "LABELS SEEN", "UNLABELLED", "EVIDENCE", "PLACE CHECKED", "SET"}};
  for (const SetVerdict& verdict : verdicts) lines.push_back(table_line(verdict));
  std::string text = aligned(lines);
  for (const SetVerdict& verdict : verdicts)
    if (worth_telling(verdict)) text += "\n" + details(verdict);
  const VerdictCounts counts = count_verdicts(verdicts);
  text += fmt::format("\n{} {}:", verdicts.size(), verdicts.size() == 1 ? "set" : "sets");
  std::vector<std::string> parts;
  for (int i = k_verdicts - 1; i >= 0; --i)
    if (const auto count = counts[static_cast<std::size_t>(i)]; count > 0)
      parts.push_back(fmt::format(" {} {}", count, to_text(static_cast<Verdict>(i))));
  text += join(parts, ",") + ".\n";
  return text + "Not tested in any set: that each object is the object its label names.\n";
}

std::string check_csv(std::span<const SetVerdict> verdicts) {
  std::vector<Cells> rows;
  for (const SetVerdict& verdict : verdicts) {
    Cells codes;
    Cells texts;
    for (const Reason& reason : verdict.reasons) {
      codes.push_back(reason.code);
      texts.push_back(reason.text);
    }
    rows.push_back({verdict.set, verdict.bag.value_or(""), verdict.number.value_or(""),
                    std::string{to_text(verdict.verdict)}, std::string{to_text(verdict.evidence)},
                    std::to_string(verdict.expected), std::to_string(verdict.seen),
                    verdict.unlabelled ? std::to_string(*verdict.unlabelled) : "", verdict.place_checked ? "yes" : "no",
                    join(codes, " "), join(texts, " "), join(verdict.images, "; ")});
  }
  return write_csv({"set", "bag", "number", "verdict", "evidence", "labels_expected", "labels_seen", "unlabelled",
                    "place_checked", "reason_codes", "reasons", "images"},
                   rows);
}

}  // namespace sherdmark
