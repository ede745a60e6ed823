#include "sherdmark/report/custody_report.h"
#include "report/count_words.h"
#include "report/json_value.h"

#include <fmt/format.h>

#include "sherdmark/base/text.h"
#include "sherdmark/report/ledger_report.h"
#include "sherdmark/standard/privacy.h"

namespace sherdmark {
namespace {

using Json = JsonValue;

// A bag of several things goes by its id.
std::string print_text(const PrintRecord& print) {
  return fmt::format("  {}  {} of {}{}\n", print.serial, label_of_role(print.role),
                     print.number == print.subject && print.role != LabelRole::artifact ? group_identity(print.number)
                                                                                        : printable(print.number),
                     print.state == PrintState::applied ? "" : fmt::format(", now {}", to_text(print.state)));
}

Json prints_json(const std::vector<PrintRecord>& prints) {
  Json list = Json::array();
  for (const PrintRecord& print : prints)
    list.push_back({{"serial", print.serial},
                    {"role", to_text(print.role)},
                    {"subject", print.subject},
                    {"number", print.number},
                    {"revision", print.revision},
                    {"state", to_text(print.state)}});
  return list;
}

bool is_overdue(const LoanRecord& loan, const std::string& today) {
  return !loan.out.empty() && !loan.until.empty() && loan.until < today;
}

std::string pieces_text(const BagRecord& bag) {
  std::int64_t pieces = 0;
  for (const BagContent& content : bag.contents) {
    if (!content.quantity) return "not counted";
    pieces += *content.quantity;
  }
  return std::to_string(pieces);
}

std::string contents_text(const Ledger& ledger, const BagRecord& bag) {
  std::vector<std::string> items;
  for (const BagContent& content : bag.contents) {
    std::string text = content.item;
    if (const auto item = ledger.find_item(content.item);
        item && !is_restricted(ledger.standard(), "object") && !item->row.object.empty())
      text += ", " + item->row.object.str();
    items.push_back(printable(text));
  }
  return join(items, "\n");
}

}  // namespace

std::string custody_text(const CustodyAct& act) {
  std::string text = printable(act.done) + "\n";
  for (const std::string& sentence : act.more) text += printable(sentence) + "\n";
  if (act.stale.empty()) {
    text += "No print became stale.\n";
  } else {
    text += fmt::format("{} must not be used any more:\n",
                        plural(static_cast<std::int64_t>(act.stale.size()), "print", "prints"));
    for (const PrintRecord& print : act.stale) text += print_text(print);
  }
  if (act.due > 0)
    text += fmt::format("{} in the queue: sherdmark labels --due --out DIR\n",
                        plural(act.due, "label waits", "labels wait"));
  return text;
}

std::string custody_json(const CustodyAct& act) {
  Json json{{"schema", 1}, {"done", act.done}};
  for (const auto& [key, value] : act.values) json[key] = value;
  json["notes"] = act.more;
  json["stale"] = prints_json(act.stale);
  json["due"] = act.due;
  return json.document();
}

std::string restriction_text(const LateRestriction& late) {
  std::string text = fmt::format("{} is under restricted care now: no label, picture or draw.\n", printable(late.item));
  for (const std::string& bag : late.bags) text += fmt::format("  lies in bag {}\n", group_identity(bag));
  if (!late.forbidden.empty()) text += "Unapplied, now void; destroy them by count:\n";
  for (const PrintRecord& print : late.forbidden) text += print_text(print);
  if (!late.applied.empty()) text += "Applied: DO NOT REMOVE; CONSULT:\n";
  for (const PrintRecord& print : late.applied) text += print_text(print);
  return text + "This stands until somebody lifts it, whatever later catalogs say; enter the flag there, too.\n";
}

std::string lifted_text(const LiftedRestriction& lifted) {
  std::string text = fmt::format("The care flag \"{}\" is lifted from {}; {} had set it on {}: {}.\n",
                                 printable(lifted.was.flag), printable(lifted.was.item), printable(lifted.was.person),
                                 lifted.was.time.substr(0, 10), printable(lifted.was.reason));
  return text + (lifted.still_restricted ? "Another care flag stands: still no label, picture or draw.\n"
                                         : "Call plan: it decides anew what labels it gets.\n");
}

std::string lifted_json(const LiftedRestriction& lifted) {
  return Json({{"schema", 1},
               {"item", lifted.was.item},
               {"flag", lifted.was.flag},
               {"was_set_by", lifted.was.person},
               {"was_set_on", lifted.was.time},
               {"flags_left", lifted.flags},
               {"still_restricted", lifted.still_restricted}})
      .document();
}

std::string restriction_json(const LateRestriction& late) {
  return Json({{"schema", 1},
               {"item", late.item},
               {"bags", late.bags},
               {"void", prints_json(late.forbidden)},
               {"applied_do_not_remove_consult", prints_json(late.applied)}})
      .document();
}

std::string loans_text(const std::vector<LoanRecord>& loans, const std::string& today) {
  std::string text;
  for (const LoanRecord& loan : loans) {
    text += fmt::format("{}  to {}, since {}{}: {} out, {} back{}\n", group_identity(loan.id), printable(loan.borrower),
                        loan.lent.substr(0, 10), loan.until.empty() ? "" : ", until " + printable(loan.until),
                        loan.out.size(), loan.returned.size(), is_overdue(loan, today) ? "  OVERDUE" : "");
    for (const std::string& bag : loan.out) text += fmt::format("    out  {}\n", group_identity(bag));
  }
  return text.empty() ? "Nothing was ever lent.\n" : text;
}

std::string loans_json(const std::vector<LoanRecord>& loans, const std::string& today) {
  Json list = Json::array();
  for (const LoanRecord& loan : loans)
    list.push_back({{"loan", loan.id},
                    {"borrower", loan.borrower},
                    {"lent", loan.lent},
                    {"until", loan.until.empty() ? Json(nullptr) : Json(loan.until)},
                    {"overdue", is_overdue(loan, today)},
                    {"out", loan.out},
                    {"returned", loan.returned}});
  return Json({{"schema", 1}, {"loans", list}}).document();
}

Report loan_pages(const Ledger& ledger, const LoanRecord& loan, ReportHead head) {
  Report report{std::move(head), {}};
  report.blocks.push_back(ReportFacts{{{"Loan", group_identity(loan.id)},
                                       {"Borrower", printable(loan.borrower)},
                                       {"Lent", loan.lent.substr(0, 10)},
                                       {"To be back", loan.until.empty() ? "not agreed" : printable(loan.until)}}});
  ReportTable table{{{"Bag", 2, ReportCell::left, 9, true},
                     {"Holds", 4, ReportCell::left, 8},
                     {"Pieces", 1.4, ReportCell::right, 8},
                     {"Home", 3.8, ReportCell::left, 8},
                     {"Out", 0.8, ReportCell::tick, 8},
                     {"Back", 0.8, ReportCell::tick, 8}},
                    {},
                    "None."};
  const auto add = [&](const std::string& id, bool back) {
    const BagRecord bag = ledger.find_bag(id).value();
    table.rows.push_back({group_identity(id),
                          contents_text(ledger, bag),
                          pieces_text(bag),
                          is_restricted(ledger.standard(), "place") ? "(restricted)" : printable(bag.home_place),
                          {},
                          back ? "yes" : ""});
  };
  for (const std::string& bag : loan.out) add(bag, false);
  for (const std::string& bag : loan.returned) add(bag, true);
  report.blocks.push_back(std::move(table));
  report.blocks.push_back(ReportText{
      "A slip with the loan's name lies where each bag was. On return every bag is scanned against this list before it "
      "goes back to its place."});
  report.blocks.push_back(ReportSignatures{{"Handed over by", "Received by", "Taken back by"}});
  return report;
}

std::string concordance_text(const ConcordanceResult& result, const std::string& source) {
  std::string text = fmt::format("{}: {} entered, {} known before.\n", printable(source),
                                 plural(result.entered, "former number", "former numbers"), result.known);
  for (const std::string& former : result.ambiguous)
    text += fmt::format("{} leads to several things; a label that shows it alone cannot be read surely.\n",
                        printable(former));
  return text;
}

std::string concordance_json(const ConcordanceResult& result, const std::string& source) {
  return Json({{"schema", 1},
               {"source", source},
               {"entered", result.entered},
               {"known", result.known},
               {"ambiguous", result.ambiguous}})
      .document();
}

std::string assemblies_text(const std::vector<AssemblyRecord>& assemblies) {
  std::string text;
  for (const AssemblyRecord& one : assemblies)
    text +=
        fmt::format("{}: {}\n", printable(one.name), one.items.empty() ? "empty" : printable(join(one.items, ", ")));
  return text.empty() ? "There are no assemblies.\n" : text;
}

std::string assemblies_json(const std::vector<AssemblyRecord>& assemblies) {
  Json list = Json::array();
  for (const AssemblyRecord& one : assemblies) list.push_back({{"name", one.name}, {"items", one.items}});
  return Json({{"schema", 1}, {"assemblies", list}}).document();
}

}  // namespace sherdmark
