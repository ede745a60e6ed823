// Heads on paper: written in groups, keyed again, looked for in the ledger.
#include <fmt/format.h>

#include <algorithm>

#include "ledger/core.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/ledger/proof.h"

namespace sherdmark {
namespace {

constexpr std::size_t k_digits = 64;
constexpr std::size_t k_fewest_digits = 16;  // another event with the same 64 bits takes 2^64 attempts to find
constexpr std::size_t k_group = 8;

bool is_hex(std::string_view text) {
  return std::ranges::all_of(text, [](char c) { return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'f'); });
}

std::string without_blanks(std::string_view text) {
  std::string kept;
  for (const char c : text)
    if (c != ' ' && c != '\t' && c != '-') kept.push_back(c);
  return kept;
}

Error not_a_head(std::string_view text) {
  return usage_error(fmt::format("\"{}\" is no head of a ledger.", printable(text)),
                     "Key it as it was printed: station, number and digits, like 7KM:42:9f86d081 884c7d65; at least 16 "
                     "of the 64 digits.");
}

HeadComparison not_found(std::string problem) {
  HeadComparison comparison;
  comparison.problem = std::move(problem);
  return comparison;
}

HeadComparison at_sequence(Database& db, const WrittenHead& head, std::int64_t last) {
  if (last == 0) return not_found(fmt::format("the ledger has no events of station {}.", head.station));
  if (last < head.sequence)
    return not_found(
        fmt::format("station {} ends at event {}; the head was written at event {}: what came after it "
                    "is missing.",
                    head.station, last, head.sequence));
  const auto hash =
      db.find_text("SELECT hash FROM events WHERE station = ? AND sequence = ?", head.station, head.sequence);
  if (!hash || !hash->starts_with(head.digits))
    return not_found(
        fmt::format("event {} of station {} is not the one whose head was written down: the history up "
                    "to there was replaced, or the head was keyed wrongly.",
                    head.sequence, head.station));
  return {true, head.station, head.sequence, last - head.sequence, {}};
}

}  // namespace

WrittenHead parse_written_head(std::string_view text) {
  const std::vector<std::string> parts = split(text, ':');
  WrittenHead head;
  head.digits = to_lower_ascii(without_blanks(parts.back()));
  if (head.digits.size() < k_fewest_digits || head.digits.size() > k_digits || !is_hex(head.digits))
    throw not_a_head(text);
  if (parts.size() == 1) return head;
  head.station = to_upper_ascii(trim(parts.front()));
  const auto sequence = parse_integer(trim(parts[1]));
  if (parts.size() != 3 || head.station.size() != 3 || printable(head.station) != head.station || !sequence ||
      *sequence < 1)
    throw not_a_head(text);
  head.sequence = *sequence;
  return head;
}

std::string write_head(const StationHead& head) {
  std::string text = fmt::format("{}:{}:", head.station, head.sequence);
  for (std::size_t at = 0; at < head.hash.size(); at += k_group)
    text += (at == 0 ? "" : " ") + head.hash.substr(at, k_group);
  return text;
}

HeadComparison compare_head(const std::filesystem::path& ledger, const WrittenHead& head) {
  Database db{ledger, Database::Mode::read};
  (void)schema_version_of(db);
  const auto last_of = [&db](const std::string& station) {
    return db.find_integer("SELECT max(sequence) FROM events WHERE station = ?", station).value_or(0);
  };
  if (!head.station.empty()) return at_sequence(db, head, last_of(head.station));
  Statement rows = db.prepare("SELECT station, sequence FROM events WHERE hash >= ?1 AND hash < ?1 || 'g' LIMIT 1");
  if (!rows.with(head.digits).step())
    return not_found(
        "the ledger holds no event with these digits: the history was replaced or cut off, or they were "
        "keyed wrongly.");
  return {true, rows.text(0), rows.integer(1), last_of(rows.text(0)) - rows.integer(1), {}};
}

}  // namespace sherdmark
