#include "sherdmark/ledger/field_blocks.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "ledger/bag_rows.h"
#include "ledger/core.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

constexpr std::array<std::string_view, 6> k_states = {"reserved", "issued", "bound", "spoiled", "lost", "returned"};
constexpr std::int64_t k_most_numbers = 10'000;

// "101", "FS 101", "fs101" → 101.
std::int64_t running_number(const FieldNumbering& numbering, std::string_view text) {
  std::string_view rest = trim(text);
  if (const auto whole = numbering.running(rest)) return *whole;
  const std::string prefix{trim(numbering.prefix)};
  if (to_lower_ascii(rest).starts_with(to_lower_ascii(prefix))) rest = trim(rest.substr(prefix.size()));
  const auto running = parse_integer(rest);
  if (!running || *running < numbering.smallest || *running > numbering.largest)
    throw usage_error(fmt::format("\"{}\" is no field number of this house standard", printable(trim(text))),
                      fmt::format("write them like {} or 101-125", numbering.number(numbering.smallest)));
  return *running;
}

std::pair<std::string_view, std::string_view> ends_of(std::string_view part) {
  if (const std::size_t dots = part.find(".."); dots != std::string_view::npos)
    return {part.substr(0, dots), part.substr(dots + 2)};
  // A single hyphen between two plain numbers; a prefix may have hyphens of its own.
  const std::size_t hyphen = part.find('-');
  const auto plain = [](std::string_view text) {
    text = trim(text);
    return !text.empty() && text.find_first_not_of("0123456789") == std::string_view::npos;
  };
  if (hyphen != std::string_view::npos && plain(part.substr(0, hyphen)) && plain(part.substr(hyphen + 1)))
    return {part.substr(0, hyphen), part.substr(hyphen + 1)};
  return {part, part};
}

}  // namespace

std::optional<std::string> spelled_field_number(const FieldNumbering& numbering, std::string_view text) {
  const auto bare = [](std::string_view part) {
    std::string kept;
    for (const char c : to_lower_ascii(part))
      if (c != ' ' && c != '-') kept += c;
    return kept;
  };
  const std::string prefix = bare(numbering.prefix);
  const std::string whole = bare(text);
  if (prefix.empty() || !whole.starts_with(prefix)) return std::nullopt;
  const auto running = parse_integer(std::string_view{whole}.substr(prefix.size()));
  if (!running || *running < numbering.smallest || *running > numbering.largest) return std::nullopt;
  return numbering.number(*running);
}

std::string_view to_text(FieldState state) { return k_states.at(static_cast<std::size_t>(state)); }

std::optional<FieldState> parse_field_state(std::string_view word) {
  const auto* found = std::ranges::find(k_states, word);
  if (found == k_states.end()) return std::nullopt;
  return static_cast<FieldState>(found - k_states.begin());
}

std::int64_t FieldBlock::count(FieldState state) const {
  return std::ranges::count(numbers, state, &FieldNumberRecord::state);
}

std::vector<FieldBlock> field_blocks(const Ledger& ledger) {
  Database& db = core_of(ledger).db;
  const Snapshot snapshot{db};
  std::vector<FieldBlock> blocks;
  std::map<std::int64_t, std::size_t> places;
  Statement rows = db.prepare("SELECT id, station, crew, reserved FROM field_blocks ORDER BY id");
  rows.with();
  while (rows.step()) {
    places.emplace(rows.integer(0), blocks.size());
    blocks.push_back({rows.text(1), rows.text(2), rows.text(3), {}});
  }
  FieldBlock from_catalogs;
  Statement numbers = db.prepare(
      "SELECT f.number, f.state, l.number, f.block FROM field_numbers f LEFT JOIN lots l ON l.id = f.lot"
      " ORDER BY f.id");
  numbers.with();
  while (numbers.step()) {
    const auto block = numbers.maybe_integer(3);
    FieldBlock& home = block ? blocks.at(places.at(*block)) : from_catalogs;
    home.numbers.push_back({numbers.text(0), stored_field_state(numbers.view(1)), home.crew, numbers.text(2)});
  }
  if (!from_catalogs.numbers.empty()) blocks.push_back(std::move(from_catalogs));
  return blocks;
}

std::vector<std::string> free_field_numbers(const Ledger& ledger, std::int64_t count,
                                            std::optional<std::int64_t> first) {
  const FieldNumbering& numbering = ledger.standard().field_numbers;
  if (count < 1 || count > k_most_numbers)
    throw usage_error(fmt::format("a block of {} numbers", count), fmt::format("give 1 to {}", k_most_numbers));
  std::int64_t next = first.value_or(numbering.smallest);
  if (!first)
    for (const FieldNumberRecord& used : ledger.field_numbers())
      if (const auto running = numbering.running(used.number)) next = std::max(next, *running + 1);
  if (next < numbering.smallest || next + count - 1 > numbering.largest)
    throw usage_error(
        fmt::format("the house standard's field numbers end at {}, and {} numbers from {} on would go beyond",
                    numbering.number(numbering.largest), count, next),
        "take fewer, or raise field_numbers.largest in the house standard");
  std::vector<std::string> numbers;
  for (std::int64_t i = 0; i < count; ++i) numbers.push_back(numbering.number(next + i));
  return numbers;
}

std::vector<std::string> parse_field_numbers(const FieldNumbering& numbering, std::string_view text) {
  std::vector<std::string> numbers;
  for (const std::string& part : split(text, ',')) {
    if (trim(part).empty())
      throw usage_error(fmt::format("\"{}\" names no field numbers", printable(text)),
                        "write them like 101-125,130, or a single one");
    const auto [from_text, to_text] = ends_of(part);
    const std::int64_t from = running_number(numbering, from_text);
    const std::int64_t to = running_number(numbering, to_text);
    if (to < from)
      throw usage_error(fmt::format("\"{}\" runs backwards", printable(trim(part))), "write the smaller number first");
    if (to - from + static_cast<std::int64_t>(numbers.size()) >= k_most_numbers)
      throw usage_error("too many field numbers at once", fmt::format("name at most {}", k_most_numbers));
    for (std::int64_t i = from; i <= to; ++i) numbers.push_back(numbering.number(i));
  }
  return numbers;
}

}  // namespace sherdmark
