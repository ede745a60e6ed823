#include <fmt/format.h>

#include <algorithm>
#include <memory>

#include "commands.h"
#include "custody.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/ledger/role_labels.h"

namespace sherdmark {
namespace {

struct Options : CommonOptions {
  std::string what;
  std::vector<std::string> names;
  std::string borrower;
  std::string until;
  std::string slip;
};

std::string now_text(const Session& session) { return format_time(session.seams().clock.now()); }

// A slip that cannot be written is said before the loan is kept.
void require_slip(const Session& session, const Options& options) {
  if (!options.slip.empty()) session.require_target(options.slip);
}

void write_slip(const Session& session, const Options& options, const Ledger& ledger, const std::string& id) {
  if (options.slip.empty()) return;
  const std::vector<LoanRecord> all = ledger.loans();
  const LoanRecord loan = *std::ranges::find(all, id, &LoanRecord::id);
  const ReportHead head = session.page_head(ledger, options, "Loan", "loan " + group_identity(id));
  const Report report = loan_pages(ledger, loan, head);
  session.write_file(options.slip,
                     [&](const ByteSink& sink) { write_report_pdf(report, report_paper(ledger.standard()), sink); });
}

std::string loan_named(const Options& options) {
  return parse_identity(IdentityKind::loan, options.names.front()).value_or(options.names.front());
}

int lend(const Session& session, const Options& options) {
  require_slip(session, options);
  return do_custody(
      session, options,
      [&](const Ledger& ledger) {
        std::vector<std::string> bags;
        for (const std::string& name : options.names) bags.push_back(bag_named(ledger, name));
        return bags;
      },
      [&](Ledger& ledger, const Actor& actor) {
        std::vector<std::string> bags;
        for (const std::string& name : options.names) bags.push_back(bag_named(ledger, name));
        const std::string id = ledger.lend(actor, bags, options.borrower, day_named(ledger, options.until));
        refresh_role_plans(ledger, actor);  // the slips are due
        write_slip(session, options, ledger, id);
        return CustodyOutcome{
            fmt::format("Loan {}: {} lent to {}.", group_identity(id),
                        bags.size() == 1 ? "1 bag" : fmt::format("{} bags", bags.size()), options.borrower),
            {{"loan", id}},
            {"Leave a removal slip where each bag was: sherdmark labels --for removal-slips --out DIR"}};
      });
}

int take_back(const Session& session, const Options& options) {
  if (options.names.empty()) throw usage_error("no loan was named.", "Name the loan, then the bags that came back.");
  require_slip(session, options);
  return do_custody(
      session, options,
      [&](const Ledger& ledger) {  // of the slips
        const std::vector<LoanRecord> all = ledger.loans();
        const auto loan = std::ranges::find(all, loan_named(options), &LoanRecord::id);
        return loan == all.end() ? std::vector<std::string>{} : loan->out;
      },
      [&](Ledger& ledger, const Actor& actor) {
        const std::string id = loan_named(options);
        std::vector<std::string> bags;
        for (std::size_t i = 1; i < options.names.size(); ++i) bags.push_back(bag_named(ledger, options.names[i]));
        const std::vector<LoanRecord> all = ledger.loans();
        const auto loan = std::ranges::find(all, id, &LoanRecord::id);
        if (bags.empty() && loan != all.end()) bags = loan->out;
        if (bags.empty() && loan != all.end())
          throw usage_error(fmt::format("all bags of loan {} are back.", group_identity(id)), "Nothing is to be done.");
        ledger.take_back(actor, id, bags);
        refresh_role_plans(ledger, actor);  // their slips are out of force
        write_slip(session, options, ledger, id);
        const std::size_t out = loan == all.end() ? 0 : loan->out.size() - bags.size();
        return CustodyOutcome{
            fmt::format("Loan {}: {} back, {} still out.", group_identity(id), bags.size(), out),
            {{"loan", id}},
            {"Check each bag before it goes home: sherdmark check, or scan.", "Then take its removal slip away."}};
      });
}

// All loans, or the one that is named, whose page can be written again.
int list(const Session& session, const Options& options) {
  if (options.names.size() > 1 || (options.names.empty() && !options.slip.empty()))
    throw usage_error("loan list takes one loan, or none for all of them.", "Name the loan whose page is wanted.");
  require_slip(session, options);
  const Ledger ledger = session.open_for_reading(options);
  std::vector<LoanRecord> loans = ledger.loans();
  if (!options.names.empty()) {
    const std::string id = loan_named(options);
    std::erase_if(loans, [&](const LoanRecord& loan) { return loan.id != id; });
    if (loans.empty())
      throw usage_error(fmt::format("there is no loan \"{}\".", printable(options.names.front())),
                        "sherdmark loan list shows all of them.");
    write_slip(session, options, ledger, id);
  }
  const std::string today = now_text(session).substr(0, 10);
  session.say(options.json ? loans_json(loans, today) : loans_text(loans, today));
  return 0;
}

int act(const Session& session, const Options& options) {
  if (options.what == "lend") return lend(session, options);
  if (options.what == "return") return take_back(session, options);
  if (options.what == "list") return list(session, options);
  throw usage_error("nothing was asked for.", "Say loan lend, return or list.");
}

}  // namespace

Subcommand loan_command(const Session& session) {
  return {"loan", "Lends bags, takes them back, and lists what is out.", [&session](Command& command) {
            auto options = std::make_shared<Options>();
            command.one_of(
                "what", options->what, {"lend", "return", "list"},
                "lend: the bags named; return: a loan, and which of its bags (none named: all); list: all loans, "
                "or one");
            command.many("names", options->names,
                         "Bags to lend, the loan and the bags that came back, or the loan to list");
            command.text("--to", options->borrower, "lend: who gets them", "NAME");
            command.text("--until", options->until, "lend: when they should be back", "DATE");
            command.text("--slip", options->slip,
                         "Also write the loan's list as a PDF page to sign; list: of the loan named", "FILE");
            add_ledger_option(command, *options);
            add_by_option(command, *options);
            add_json_option(command, *options);
            command.example(
                "sherdmark loan lend B-7KM-00042 --to \"Invented Coast Museum\" --until 2031-12-01 --slip loan.pdf\n"
                "sherdmark loan return N-7KM-00001 B-7KM-00042 --by \"R. Quill\"\n"
                "sherdmark loan list\n"
                "sherdmark loan list N-7KM-00001 --slip loan.pdf");
            command.act([&session, options] { return act(session, *options); });
          }};
}

}  // namespace sherdmark
