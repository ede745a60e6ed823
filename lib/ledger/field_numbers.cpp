// Blocks of field numbers, and a field log bound to lots at once.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>
#include <set>

#include "ledger/bag_rows.h"
#include "ledger/core.h"
#include "ledger/stale_labels.h"
#include "sherdmark/base/text.h"
#include "sherdmark/ledger/field_blocks.h"

namespace sherdmark {
namespace {

struct Stored {
  FieldState state = FieldState::reserved;
  std::string crew;
  std::string lot;
};

std::optional<Stored> find_stored(Database& db, const std::string& number) {
  Statement row = db.prepare(
      "SELECT f.state, b.crew, l.number FROM field_numbers f LEFT JOIN field_blocks b ON b.id = f.block"
      " LEFT JOIN lots l ON l.id = f.lot WHERE f.number = ?");
  if (!row.with(number).step()) return std::nullopt;
  return Stored{stored_field_state(row.view(0)), row.text(1), row.text(2)};
}

void require_numbers(const std::vector<std::string>& numbers) {
  if (numbers.empty()) throw usage_error("no field number", "name at least one");
  std::set<std::string_view> once;
  for (const std::string& number : numbers) {
    if (number.empty() || trim(number) != number || printable(number) != number)
      throw usage_error(fmt::format("\"{}\" cannot be a field number", printable(number)),
                        "use printable characters, without spaces at the ends");
    if (!once.insert(number).second)
      throw usage_error(fmt::format("the field number {} is named twice", number), "name it once");
  }
}

std::string numbers_payload(const std::vector<std::string>& numbers, const std::string& reason,
                            std::string_view state) {
  JsonWriter out;
  out.begin_object().key("numbers").begin_array();
  for (const std::string& number : numbers) out.text(number);
  out.end_array().key("reason").text(reason).key("state").text(state).end_object();
  return out.take();
}

// One line of a log against the records: what is wrong, and what to do. Empty `what`: nothing.
FieldLogProblem check_line(Database& db, const FieldBinding& line, const std::string& crew) {
  FieldLogProblem problem{line.row, line.number, {}, {}, false};
  const std::optional<Stored> stored = find_stored(db, line.number);
  const std::string& whose = line.crew.empty() ? crew : line.crew;
  if (!stored) {
    problem.what = "this number was never reserved";
    problem.remedy = "check the spelling against the printed tag, or reserve it";
  } else if (!whose.empty() && !stored->crew.empty() && stored->crew != whose) {
    problem.what = fmt::format("this number is from the block of {}", stored->crew);
    problem.remedy = "ask that crew whether the tag was handed over";
  } else if (stored->state == FieldState::reserved) {
    problem.what = "this number was never issued";
    problem.remedy = "issue it first, or check the spelling";
  } else if (stored->state != FieldState::issued && stored->state != FieldState::bound) {
    problem.what = fmt::format("this number is {} and is never used again", to_text(stored->state));
    problem.remedy = "give the lot another number";
  } else if (!db.find_integer("SELECT id FROM lots WHERE number = ?", line.lot)) {
    problem.what = fmt::format("the ledger has no lot {}", printable(line.lot));
    problem.remedy = "take its catalog in first, or check the number";
  } else if (stored->state == FieldState::bound && stored->lot != line.lot) {
    problem.what = fmt::format("this number is bound to {} already", stored->lot);
    problem.remedy = "if that was a mistake, bind it anew with --rebind";
    problem.bound_elsewhere = true;
  }
  return problem;
}

// The log's own context against the lot's record. Names the field and never a value: it may be restricted.
std::string context_against_record(Database& db, const FieldBinding& line) {
  Statement row = db.prepare(
      "SELECT p.unit, p.stratum, p.level, p.feature FROM lots l JOIN proveniences p ON p.id = l.provenience"
      " WHERE l.number = ?");
  if (!row.with(line.lot).step()) return {};
  constexpr std::array<std::string_view, 4> k_fields = {"unit", "stratum", "level", "feature"};
  for (const auto& [field, value] : line.context) {
    const auto* column = std::ranges::find(k_fields, field);
    if (column == k_fields.end() || value.empty()) continue;
    const std::string recorded = row.text(static_cast<int>(column - k_fields.begin()));
    if (!recorded.empty() && recorded != value)
      return fmt::format("the log gives lot {} another {} than its record", printable(line.lot), field);
  }
  return {};
}

// Two rows that give one lot two contexts: one of them names the wrong lot.
std::string split_context(const FieldBinding& first, const FieldBinding& line) {
  for (const auto& [field, value] : line.context)
    for (const auto& [other_field, other] : first.context)
      if (field == other_field && !value.empty() && !other.empty() && value != other)
        return fmt::format("lot {} has another {} here than in row {}", printable(line.lot), field, first.row);
  return {};
}

}  // namespace

void Ledger::reserve_field_numbers(const Actor& actor, const std::string& crew,
                                   const std::vector<std::string>& numbers) {
  require_numbers(numbers);
  for (const std::string& number : numbers)
    if (find_stored(core_->db, number))
      throw usage_error(fmt::format("the field number {} was used before", number), "start the block behind it");
  JsonWriter out;
  out.begin_object().key("crew").text(crew).key("numbers").begin_array();
  for (const std::string& number : numbers) out.text(number);
  out.end_array().end_object();
  core_->write(actor, "reserved", out.take());
}

void Ledger::issue_field_numbers(const Actor& actor, const std::vector<std::string>& numbers) {
  require_numbers(numbers);
  for (const std::string& number : numbers) {
    const auto stored = find_stored(core_->db, number);
    if (!stored) throw unknown_thing("field number", number, "reserve it first");
    if (stored->state != FieldState::reserved)
      throw usage_error(fmt::format("the field number {} is {} already", number, to_text(stored->state)),
                        "leave it out");
  }
  core_->write(actor, "field numbers", numbers_payload(numbers, {}, "issued"));
}

void Ledger::retire_field_numbers(const Actor& actor, const std::vector<std::string>& numbers, FieldState state,
                                  const std::string& reason) {
  if (state != FieldState::spoiled && state != FieldState::lost && state != FieldState::returned)
    throw usage_error("a field number is retired as spoiled, lost or returned", "choose one of these");
  require_numbers(numbers);
  for (const std::string& number : numbers) {
    const auto stored = find_stored(core_->db, number);
    if (!stored) throw unknown_thing("field number", number, "check the spelling");
    if (stored->state != FieldState::reserved && stored->state != FieldState::issued)
      throw usage_error(fmt::format("the field number {} is {}", number, to_text(stored->state)), "leave it out");
  }
  core_->write(actor, "field numbers", numbers_payload(numbers, reason, to_text(state)));
}

std::vector<FieldLogProblem> Ledger::check_field_log(std::span<const FieldBinding> log, const std::string& crew) const {
  const Snapshot snapshot{core_->db};
  std::vector<FieldLogProblem> problems;
  std::map<std::string, const FieldBinding*> seen;
  std::map<std::string, const FieldBinding*> lots;
  for (const FieldBinding& line : log) {
    FieldLogProblem problem = check_line(core_->db, line, crew);
    const auto [first, fresh] = seen.try_emplace(line.number, &line);
    if (!fresh) {
      const bool same = first->second->lot == line.lot;
      problem.what = same ? fmt::format("this number stands in row {} too", first->second->row)
                          : fmt::format("one number for two lots: row {} gives it to {}", first->second->row,
                                        printable(first->second->lot));
      problem.bound_elsewhere = false;
      problem.remedy = same ? "take one of the rows out" : "look at the bags: one of them carries another tag";
    }
    if (!problem.what.empty()) problems.push_back(problem);
    FieldLogProblem context{line.row, line.number, {}, "look at the tag and the notes: one of the two is wrong", false};
    const auto [same_lot, first_of_lot] = lots.try_emplace(line.lot, &line);
    if (!first_of_lot) context.what = split_context(*same_lot->second, line);
    if (context.what.empty()) context.what = context_against_record(core_->db, line);
    if (!context.what.empty()) problems.push_back(std::move(context));
  }
  return problems;
}

BindResult Ledger::bind_field_numbers(const Actor& actor, std::span<const FieldBinding> log, const std::string& crew,
                                      bool rebind) {
  BindResult result;
  std::vector<std::string> moved;
  JsonWriter out;
  out.begin_object().key("bindings").begin_array();
  const auto problems = check_field_log(log, crew);
  for (const FieldLogProblem& problem : problems)
    if (!rebind || !problem.bound_elsewhere)
      throw data_error(fmt::format("the field log does not fit: {}: {}", problem.number, problem.what),
                       {.file = {}, .row = problem.row}, problem.remedy);
  for (const FieldBinding& line : log) {
    const auto stored = find_stored(core_->db, line.number);
    if (stored && stored->lot == line.lot) continue;
    if (stored && stored->state == FieldState::bound) {
      ++result.rebound;
      moved.push_back(line.number);
    } else {
      ++result.bound;
    }
    out.begin_array().text(line.number).text(line.lot);
    if (stored && stored->state == FieldState::bound) out.text(stored->lot);
    out.end_array();
  }
  if (result.bound + result.rebound == 0) return result;
  out.end_array().key("revised");
  const auto stale = printed_labels_of(core_->db, moved);
  result.prints_superseded = static_cast<std::int64_t>(stale.size());
  write_label_names(out, stale);
  out.end_object();
  core_->write(actor, "bound", out.take());
  return result;
}

std::vector<FieldNumberRecord> Ledger::field_numbers() const {
  std::vector<FieldNumberRecord> numbers;
  Statement rows = core_->db.prepare(
      "SELECT f.number, f.state, b.crew, l.number FROM field_numbers f LEFT JOIN field_blocks b ON b.id = f.block"
      " LEFT JOIN lots l ON l.id = f.lot ORDER BY f.id");
  rows.with();
  while (rows.step()) numbers.push_back({rows.text(0), stored_field_state(rows.view(1)), rows.text(2), rows.text(3)});
  return numbers;
}

}  // namespace sherdmark
