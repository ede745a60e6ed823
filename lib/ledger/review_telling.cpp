// How reviews, overrides and print grades are told.
#include <fmt/format.h>

#include "ledger/event_telling.h"

namespace sherdmark {

std::string tell_reviewed(const Telling& told) {
  std::size_t keyed = 0;
  std::size_t answers = 0;
  auto walk = told.payload.at("answers").elements();
  while (const auto answer = walk.next()) {
    auto cell = answer->elements();
    (void)cell.need();
    ++answers;
    if (!cell.need().text().empty()) ++keyed;
  }
  return fmt::format("Reviewed: {} of {} unread label{} keyed by a person; then {}.", keyed, answers,
                     answers == 1 ? "" : "s", told.payload.at("outcome").at("verdict").text());
}

std::string tell_overridden(const Telling& told) {
  const std::string second = told.payload.at("second_person").text();
  return fmt::format("Overridden by a person to \"{}\"{}: {}.", told.payload.at("verdict").text(),
                     second.empty() ? "" : fmt::format(", with {}", second), told.payload.at("reason").text());
}

std::string tell_graded(const Telling& told) {
  std::size_t count = 0;
  auto grades = told.payload.at("grades").elements();
  while (const auto line = grades.next()) {
    auto cell = line->elements();
    ++count;
    if (cell.need().text() != told.subject) continue;
    const double grade = cell.need().decimal();
    return fmt::format("Print quality seen: {} of 4 ({}).", grade, cell.need().text());
  }
  return fmt::format("The print quality of {} label{} was seen.", count, count == 1 ? "" : "s");
}

}  // namespace sherdmark
