#include <fmt/format.h>

#include <algorithm>
#include <memory>

#include "commands.h"
#include "custody.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/catalog/read_catalog.h"

namespace sherdmark {
namespace {

struct RenumberOptions : CommonOptions {
  std::string from;
  std::string to;
  std::string reason;
};

int renumber(const Session& session, const RenumberOptions& options) {
  return do_custody(
      session, options,
      [&](const Ledger& ledger) {
        std::vector<std::string> subjects{item_named(ledger, options.from)};
        if (const auto item = ledger.find_item(subjects.front()))
          subjects.insert(subjects.end(), item->bags.begin(), item->bags.end());
        return subjects;
      },
      [&](Ledger& ledger, const Actor& actor) {
        const std::string from = item_named(ledger, options.from);
        const std::string to = renumber_item(ledger, actor, from, options.to, options.reason);
        return CustodyOutcome{
            fmt::format("{} is {} now; the old number stays as a former number.", from, to),
            {{"from", from}, {"to", to}},
            {"A number that is on the object is never removed or covered: it is part of its history.",
             "Its own labels join the queue with the next plan, which labels --due makes.",
             "Change the number in the catalog too, or the next intake brings the old one in again."}};
      });
}

struct ConcordanceOptions : CommonOptions {
  std::string file;
  std::string former = "former number";
  std::string number = "number";
};

std::size_t column_of(const Table& table, const std::string& wanted) {
  for (std::size_t i = 0; i < table.header.size(); ++i)
    if (to_lower_ascii(trim(table.header[i])) == to_lower_ascii(trim(wanted))) return i;
  throw data_error(fmt::format("there is no column \"{}\".", printable(wanted)),
                   {.file = table.file, .row = table.header_row}, "Name the columns with --former and --number.");
}

int concordance(const Session& session, const ConcordanceOptions& options) {
  const Bytes bytes = session.seams().files.read(options.file, k_image_file_limit_bytes);
  const Table table = read_table(bytes, options.file);
  const std::size_t former = column_of(table, options.former);
  const std::size_t number = column_of(table, options.number);
  const auto cell = [](const TableRow& row, std::size_t at) {
    return at < row.size() ? std::string{row[at]} : std::string{};
  };
  std::vector<ConcordanceRow> rows;
  for (std::size_t i = 0; i < table.rows.size(); ++i)
    rows.push_back({table.row_numbers[i], cell(table.rows[i], former), cell(table.rows[i], number)});
  Ledger ledger = session.open_for_writing(options);
  const Actor actor = ledger.actor(session.person(options));
  const auto problems = check_concordance(ledger, rows);
  for (const ConcordanceProblem& problem : problems)
    session.warn(fmt::format("{}, row {}: {}.", printable(options.file), problem.row, problem.what));
  if (!problems.empty())
    throw data_error(fmt::format("{} of {} rows {} not fit; nothing was entered.", problems.size(), rows.size(),
                                 problems.size() == 1 ? "does" : "do"),
                     {.file = options.file}, "Put them right in the concordance, or take them out.");
  const std::string source = std::filesystem::path{options.file}.filename().string();
  const ConcordanceResult result = enter_concordance(ledger, actor, rows, source);
  session.say(options.json ? concordance_json(result, source) : concordance_text(result, source));
  return 0;
}

}  // namespace

Subcommand renumber_command(const Session& session) {
  return {"renumber", "Gives an item another number; the old one stays as a former number and keeps leading to it.",
          [&session](Command& command) {
            auto options = std::make_shared<RenumberOptions>();
            command.required_text("from", options->from, "The item's number", "NUMBER");
            command.required_text("--to", options->to, "Its new number", "NUMBER");
            command.required_text("--reason", options->reason, "Why", "TEXT");
            add_ledger_option(command, *options);
            add_by_option(command, *options);
            add_json_option(command, *options);
            command.example(
                "sherdmark renumber 16ZQ5/12.66 --to 16ZQ5/13.66 --reason \"was bagged with the wrong lot\" "
                "--by \"R. Quill\"");
            command.act([&session, options] { return renumber(session, *options); });
          }};
}

Subcommand concordance_command(const Session& session) {
  return {"concordance", "Enters former numbers from a list of old and present numbers (CSV or a spreadsheet).",
          [&session](Command& command) {
            auto options = std::make_shared<ConcordanceOptions>();
            command.required_text("file", options->file, "The list", "FILE");
            command.text("--former", options->former, "Header of the column of old numbers", "HEADER");
            command.text("--number", options->number, "Header of the column of present numbers", "HEADER");
            add_ledger_option(command, *options);
            add_by_option(command, *options);
            add_json_option(command, *options);
            command.example("sherdmark concordance old-register.csv --former \"Old no.\" --number \"Cat. No.\"");
            command.act([&session, options] { return concordance(session, *options); });
          }};
}

}  // namespace sherdmark
