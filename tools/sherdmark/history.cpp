#include <fmt/format.h>

#include <memory>

#include "commands.h"
#include "sherdmark/base/text.h"
#include "sherdmark/ledger/field_blocks.h"
#include "sherdmark/report/ledger_report.h"
#include "sherdmark/report/name_in_code.h"

namespace sherdmark {
namespace {

struct Options : CommonOptions {
  std::string name;
};

// Names are written in several ways; the first that the ledger knows counts.
std::vector<std::string> spellings(const Ledger& ledger, const std::string& name) {
  std::vector<std::string> all;
  for (const IdentityKind kind : {IdentityKind::bag, IdentityKind::run, IdentityKind::box, IdentityKind::place})
    if (auto id = parse_identity(kind, name)) all.push_back(*id);
  if (const auto parsed = ledger.standard().parse_number(name)) all.push_back(parsed->number.text());
  if (const auto spelled = spelled_field_number(ledger.standard().field_numbers, name)) all.push_back(*spelled);
  all.push_back(to_upper_ascii(trim(name)));
  all.push_back(name);
  return all;
}

int act(const Session& session, const Options& options) {
  const Ledger ledger = session.open_for_reading(options);
  std::vector<HistoryLine> lines;
  for (const std::string& spelling : spellings(ledger, name_in_code(ledger, options.name))) {
    lines = ledger.history(spelling);
    if (!lines.empty()) break;
  }
  if (options.json)
    session.say(history_json(options.name, lines));
  else
    session.say(history_text(lines));
  if (!lines.empty()) return 0;
  session.warn(fmt::format("sherdmark: nothing in this ledger is called \"{}\".", printable(options.name)));
  return 1;
}

}  // namespace

Subcommand history_command(const Session& session) {
  return {"history", "Tells everything that ever happened to a bag, item, lot, run or print.",
          [&session](Command& command) {
            auto options = std::make_shared<Options>();
            command.required_text("name", options->name, "Bag id, number, run, serial or scanned code");
            add_ledger_option(command, *options);
            add_json_option(command, *options);
            command.example("sherdmark history B-7KM-00042");
            command.act([&session, options] { return act(session, *options); });
          }};
}

}  // namespace sherdmark
