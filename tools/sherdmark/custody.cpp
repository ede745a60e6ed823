#include "custody.h"

#include <fmt/format.h>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/catalog/edtf.h"
#include "sherdmark/ledger/due_labels.h"
#include "sherdmark/ledger/scanned_code.h"
#include "sherdmark/ledger/soak_tests.h"

namespace sherdmark {

int do_custody(const Session& session, const CommonOptions& options,
               const std::function<std::vector<std::string>(const Ledger&)>& subjects,
               const std::function<CustodyOutcome(Ledger&, const Actor&)>& act) {
  Ledger ledger = session.open_for_writing(options);
  const Actor actor = ledger.actor(session.person(options));
  const std::vector<PrintRecord> before = live_prints_of(ledger, subjects(ledger));
  CustodyOutcome outcome = act(ledger, actor);
  CustodyAct report{std::move(outcome.done), std::move(outcome.values), std::move(outcome.more),
                    made_stale(ledger, before), 0};
  for (const DueLabel& label : due_labels(ledger)) report.due += label.due;
  session.say(options.json ? custody_json(report) : custody_text(report));
  return 0;
}

std::string bag_named(const Ledger& ledger, const std::string& name) {
  if (const auto bag = parse_identity(IdentityKind::bag, name); bag && ledger.find_bag(*bag)) return *bag;
  const auto code = scanned_code(ledger, name);
  if (code && (code->role == LabelRole::bag || code->role == LabelRole::tag)) return code->subject;
  if (const auto print = ledger.find_print(to_upper_ascii(trim(name)));
      print && (print->role == LabelRole::bag || print->role == LabelRole::tag))
    return print->subject;
  return name;
}

std::string item_named(const Ledger& ledger, const std::string& name) {
  const auto parsed = ledger.standard().parse_number(name);
  return parsed ? parsed->number.text() : name;
}

std::string day_named(const Ledger& ledger, const std::string& written) {
  if (written.empty()) return {};
  std::string day = read_date(trim(written), ledger.standard().date_order).edtf;
  if (!days_after(day, 0))
    throw usage_error(fmt::format("\"{}\" is no day.", printable(written)), "Write it like 2031-12-01.");
  return day;
}

std::vector<std::string> with_contents(const Ledger& ledger, const std::string& bag) {
  std::vector<std::string> subjects{bag};
  if (const auto record = ledger.find_bag(bag))
    for (const BagContent& content : record->contents) subjects.push_back(content.item);
  return subjects;
}

}  // namespace sherdmark
