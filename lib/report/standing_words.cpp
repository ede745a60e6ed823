#include "report/standing_words.h"

#include <fmt/format.h>

#include "sherdmark/base/clock.h"
#include "sherdmark/base/text.h"
#include "sherdmark/report/ledger_report.h"
#include "sherdmark/standard/privacy.h"

namespace sherdmark {
namespace {

std::string loan_words(const LoanRecord& loan) {
  return fmt::format("It is out with {}, loan {}, since {}{}.", printable(loan.borrower), group_identity(loan.id),
                     loan.lent.substr(0, 10), loan.until.empty() ? "" : ", until " + printable(loan.until));
}

std::string drying_words(const Drying& drying) {
  std::string text;
  if (!drying.bagged.empty())
    text =
        fmt::format("It was closed on {}{}.", time_in_words(drying.bagged), drying.early ? ", before it was dry" : "");
  else if (!drying.since.empty())
    text = fmt::format("Its last label was applied on {}; it may be closed from {}.", time_in_words(drying.since),
                       time_in_words(drying.dry_from));
  if (drying.to_apply > 0)
    text += fmt::format(
        "{}{} still to be applied.", text.empty() ? "" : " ",
        drying.to_apply == 1 ? "1 artifact label is" : fmt::format("{} artifact labels are", drying.to_apply));
  return text;
}

}  // namespace

StandingWords standing_words(const BagStanding& standing) {
  StandingWords words;
  if (standing.loan) words.emplace_back("loan", loan_words(*standing.loan));
  if (!standing.away_until.empty())
    words.emplace_back("away", fmt::format("It should be back at its home by {}.", printable(standing.away_until)));
  std::vector<std::string> prints;
  for (const PrintRecord& print : standing.in_force)
    prints.push_back(fmt::format("{} {} ({})", to_text(print.role), print.serial, to_text(print.state)));
  std::string labels =
      prints.empty() ? "No label or tag of it is in force." : fmt::format("In force: {}.", join(prints, ", "));
  if (standing.stale > 0)
    labels += fmt::format(" {} must not be used any more.",
                          standing.stale == 1 ? "1 earlier one" : fmt::format("{} earlier ones", standing.stale));
  words.emplace_back("labels", labels);
  if (standing.drying)
    if (std::string text = drying_words(*standing.drying); !text.empty()) words.emplace_back("bench", std::move(text));
  return words;
}

StandingWords standing_words(const ItemStanding& standing, const HouseStandard& standard) {
  StandingWords words;
  if (!standing.former.empty() && !is_restricted(standard, "former_numbers"))
    words.emplace_back("former_numbers", fmt::format("Before it was {}.", printable(join(standing.former, ", "))));
  if (!standing.assembly.empty() && !is_restricted(standard, "assembly"))
    words.emplace_back(
        "assembly", fmt::format("It belongs to {}{}.", printable(standing.assembly),
                                standing.members.empty() ? "" : ", with " + printable(join(standing.members, ", "))));
  return words;
}

}  // namespace sherdmark
