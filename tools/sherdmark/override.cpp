#include <memory>

#include "commands.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/report/review_report.h"

namespace sherdmark {
namespace {

struct Options : CommonOptions {
  std::string what;  // bag id or name of a set
  std::string verdict;
  std::string reason;
  std::string second;
};

int act(const Session& session, const Options& options) {
  if (options.what.empty()) {
    const std::vector<Override> all = overrides(session.open_for_reading(options));
    session.say(options.json ? overrides_json(all) : overrides_text(all));
    return 0;
  }
  if (options.verdict.empty()) throw usage_error("what it should be was not said.", "Say --verdict and --reason.");
  Ledger ledger = session.open_for_writing(options);
  const Actor actor = ledger.actor(session.person(options));
  const auto bag = parse_identity(IdentityKind::bag, options.what);
  auto stored = newest_check(ledger, bag.value_or(options.what));
  if (!stored)
    throw usage_error("no verdict is kept on \"" + printable(options.what) + "\".",
                      "Check it with --record first, and name the bag or the set.");
  override_check(ledger, actor, {stored->id, options.verdict, options.reason, {}, options.second, {}, {}, {}});
  const std::vector<Override> all = overrides(ledger);
  const std::span<const Override> newest{all.data(), 1};
  session.say(options.json ? overrides_json(newest) : overrides_text(newest));
  return 0;
}

}  // namespace

Subcommand override_command(const Session& session) {
  return {"override",
          "Takes another verdict upon yourself than the one that was kept; to say \"agree\" needs a second person. "
          "Without a name lists all overrides.",
          [&session](Command& command) {
            auto options = std::make_shared<Options>();
            command.text("name", options->what, "The bag's id, or the set's name; the newest verdict on it is meant");
            command.one_of("--verdict", options->verdict,
                           {"agree", "misplaced", "incomplete", "stale", "unreadable", "unknown", "disagree"},
                           "What it should be");
            command.text("--reason", options->reason, "Why, in a few words", "TEXT");
            command.text("--second", options->second, "Who else has looked; never the same person", "NAME");
            add_ledger_option(command, *options);
            add_by_option(command, *options);
            add_json_option(command, *options);
            command.example(
                "sherdmark override B7KM-00042 --verdict agree --reason \"tag torn, number read by hand lens\" \\\n"
                "  --by \"R. Quill\" --second \"M. Oduya\"\n"
                "sherdmark override");
            command.act([&session, options] { return act(session, *options); });
          }};
}

}  // namespace sherdmark
