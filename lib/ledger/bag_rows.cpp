#include "ledger/bag_rows.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "ledger/care_flags.h"
#include "ledger/identity_rows.h"
#include "ledger/json_text.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/ledger/field_blocks.h"
#include "sherdmark/standard/privacy.h"

namespace sherdmark {
namespace {

Error unknown_word(std::string_view text) {
  return data_error(fmt::format("the ledger holds a word this program does not know: \"{}\"", printable(text)), {},
                    "use the program version that wrote it");
}

template <class Value, std::size_t Size>
Value parse_word(const std::array<std::pair<std::string_view, Value>, Size>& words, std::string_view text) {
  for (const auto& [word, value] : words)
    if (word == text) return value;
  throw unknown_word(text);
}

// The contents; and whether the outside of the bag must not give the number away.
void read_contents(Database& db, const HouseStandard& standard, std::int64_t id, BagRecord& bag) {
  Statement rows = db.prepare(
      "SELECT i.number, c.quantity, c.labelled, c.unlabelled, i.flags, i.status FROM bag_contents c JOIN items i ON "
      "i.id = c.item"
      " WHERE c.bag = ? ORDER BY i.id");
  rows.with(id);
  while (rows.step()) {
    bag.contents.push_back({rows.text(0), rows.maybe_integer(1), rows.integer(2), rows.maybe_integer(3), rows.text(5)});
    bag.sensitive = bag.sensitive || holds_care_flag(standard, rows.view(4));
  }
}

}  // namespace

std::optional<BagRecord> read_bag(Database& db, const HouseStandard& standard, std::string_view code) {
  Statement row = db.prepare(
      "SELECT b.id, b.state, h.path, n.path, x.name, EXISTS(SELECT 1 FROM loan_bags lb WHERE lb.bag = b.id AND"
      " lb.returned = ''), xn.path, x.code FROM bags b LEFT JOIN places h ON h.id = b.home LEFT JOIN places n ON n.id "
      "= b.now"
      " LEFT JOIN boxes x ON x.id = b.box LEFT JOIN places xn ON xn.id = x.now WHERE b.id = ?");
  if (!row.with(row_of_bag(code)).step()) return std::nullopt;
  BagRecord bag;
  bag.id = code;
  bag.state = row.view(1) == "active" ? BagState::active : BagState::retired;
  bag.home_place = row.text(2);
  bag.now_place = row.is_null(3) ? row.text(6) : row.text(3);
  bag.box = row.text(4);
  bag.box_id = row.text(7);
  bag.lent = row.integer(5) != 0;
  bag.sensitive = hides_sites(standard);
  read_contents(db, standard, row.integer(0), bag);
  return bag;
}

bool is_retired_bag(Database& db, LabelRole role, std::string_view subject) {
  const bool of_bag = role == LabelRole::bag || role == LabelRole::tag || role == LabelRole::removal_slip;
  return of_bag &&
         db.find_integer("SELECT 1 FROM bags WHERE id = ? AND state = 'retired'", row_of_bag(subject)).has_value();
}

LabelDecision parse_decision(std::string_view text) {
  return parse_word(std::array{std::pair{std::string_view{"direct"}, LabelDecision::direct},
                               std::pair{std::string_view{"tag only"}, LabelDecision::tag_only},
                               std::pair{std::string_view{"never"}, LabelDecision::never}},
                    text);
}

PrintState parse_print_state(std::string_view text) {
  return parse_word(std::array{std::pair{std::string_view{"generated"}, PrintState::generated},
                               std::pair{std::string_view{"printed"}, PrintState::printed},
                               std::pair{std::string_view{"applied"}, PrintState::applied},
                               std::pair{std::string_view{"superseded"}, PrintState::superseded},
                               std::pair{std::string_view{"void"}, PrintState::void_},
                               std::pair{std::string_view{"spoiled"}, PrintState::spoiled}},
                    text);
}

FieldState stored_field_state(std::string_view text) {
  if (const auto state = parse_field_state(text)) return *state;
  throw unknown_word(text);
}

RunState parse_run_state(std::string_view text) {
  return parse_word(std::array{std::pair{std::string_view{"open"}, RunState::open},
                               std::pair{std::string_view{"generated"}, RunState::generated},
                               std::pair{std::string_view{"printed"}, RunState::printed},
                               std::pair{std::string_view{"abandoned"}, RunState::abandoned}},
                    text);
}

}  // namespace sherdmark
