#include "sherdmark/report/run_account.h"
#include "report/json_value.h"

#include <fmt/format.h>

#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

using Json = JsonValue;

}  // namespace

std::string revision_text(const RevisionReport& report) {
  return fmt::format(
      "The {} label of {} is at revision {} now; {} of its prints {} out of force.\n"
      "Next: sherdmark plan, then sherdmark labels. Take the old ones off when the new ones go on.\n",
      to_text(report.role), printable(group_identity(report.subject)), report.revision, report.superseded,
      report.superseded == 1 ? "is" : "are");
}

std::string revision_json(const RevisionReport& report) {
  return Json({{"schema", 1},
               {"role", to_text(report.role)},
               {"subject", report.subject},
               {"number", report.number},
               {"revision", report.revision},
               {"prints_superseded", report.superseded}})
      .document();
}

std::string spares_text(const SparesReport& report) {
  const RunAccount& account = report.account;
  std::string text = fmt::format("Run {}:\n", group_identity(report.run));
  const auto line = [&text](std::int64_t count, std::string_view words) {
    if (count > 0) text += fmt::format("  {:>6} {}\n", count, words);
  };
  line(account.applied, "applied");
  line(account.printed, "printed, not yet applied");
  line(account.generated, "not confirmed as printed");
  line(account.superseded, "superseded by a newer one");
  line(account.voided, "void");
  line(account.spoiled, "spoiled");
  if (report.destroyed_now > 0) text += fmt::format("{} spares are out of force now.\n", report.destroyed_now);
  if (account.spare_serials.empty()) return text + "No copy is more than its labels need.\n";
  return text + fmt::format(
                    "{} {} more than the labels need: {}\n"
                    "When they are destroyed: sherdmark spares {} --destroyed\n",
                    account.spare_serials.size(), account.spare_serials.size() == 1 ? "copy is" : "copies are",
                    join(account.spare_serials, ", "), report.run);
}

std::string spares_json(const SparesReport& report) {
  const RunAccount& account = report.account;
  return Json({{"schema", 1},
               {"run", report.run},
               {"generated", account.generated},
               {"printed", account.printed},
               {"applied", account.applied},
               {"superseded", account.superseded},
               {"void", account.voided},
               {"spoiled", account.spoiled},
               {"spares", account.spare_serials},
               {"destroyed_now", report.destroyed_now}})
      .document();
}

std::string cards_text(const CardsReport& report) {
  std::string text = fmt::format("{} {} on {} {}.\n", report.cards, report.cards == 1 ? "card" : "cards", report.pages,
                                 report.pages == 1 ? "page" : "pages");
  for (const std::string& file : report.files) text += fmt::format("  {}\n", printable(file));
  return text + "Print at 100 %. Cards are used again and again; they need no confirmation.\n";
}

std::string cards_json(const CardsReport& report) {
  return Json({{"schema", 1},
               {"role", to_text(report.role)},
               {"cards", report.cards},
               {"pages", report.pages},
               {"files", report.files}})
      .document();
}

}  // namespace sherdmark
