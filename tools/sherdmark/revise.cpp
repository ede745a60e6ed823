#include <fmt/format.h>

#include <memory>

#include "commands.h"
#include "label_roles.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/report/run_account.h"

namespace sherdmark {
namespace {

struct Options : CommonOptions {
  std::string role;
  std::string subject;
  std::string reason;
};

// The label that is meant: by what it names, or by the number printed on it.
LabelRecord find_label(const Ledger& ledger, LabelRole role, const std::string& asked) {
  for (const LabelRecord& label : ledger.labels(role))
    if (label.subject == asked || label.number == asked || group_identity(label.subject) == asked) {
      if (role != LabelRole::artifact || label.number == asked) return label;
    }
  throw usage_error(fmt::format("no {} label of {} is planned.", to_text(role), printable(asked)),
                    "Plan first, or name it as the label does.");
}

int act(const Session& session, const Options& options) {
  Ledger ledger = session.open_for_writing(options);
  const LabelRole role = parse_label_role(options.role);
  if (is_card(role)) throw usage_error("cards have no revision.", "Draw them anew with labels.");
  if (trim(options.reason).empty()) throw usage_error("why the label is revised was not said.", "Add --reason TEXT.");
  const LabelRecord before = find_label(ledger, role, options.subject);
  ledger.revise(ledger.actor(session.person(options)), role, before.subject, before.number, options.reason);
  const RevisionReport report{role, before.subject, before.number, before.revision + 1, before.live};
  session.say(options.json ? revision_json(report) : revision_text(report));
  return 0;
}

struct SparesOptions : CommonOptions {
  std::string run;
  bool destroyed = false;
};

int act_on_spares(const Session& session, const SparesOptions& options) {
  const std::string id = parse_identity(IdentityKind::run, options.run).value_or(options.run);
  if (!options.destroyed) {
    const Ledger ledger = session.open_for_reading(options);
    const SparesReport report{id, account_of_run(ledger, id), 0};
    session.say(options.json ? spares_json(report) : spares_text(report));
    return 0;
  }
  Ledger ledger = session.open_for_writing(options);
  const RunAccount before = account_of_run(ledger, id);
  if (!before.spare_serials.empty())
    ledger.spoil_prints(ledger.actor(session.person(options)), before.spare_serials, "spare, not needed, destroyed");
  const SparesReport report{id, account_of_run(ledger, id), static_cast<std::int64_t>(before.spare_serials.size())};
  session.say(options.json ? spares_json(report) : spares_text(report));
  return 0;
}

}  // namespace

Subcommand revise_command(const Session& session) {
  return {"revise",
          "A label's text is wrong or its subject changed: its copies are out of force from now on, and the next plan "
          "and run make it anew with a higher revision.",
          [&session](Command& command) {
            auto options = std::make_shared<Options>();
            command.required_text("--for", options->role, "Which label of it: bags, tags, artifacts, boxes …", "ROLE");
            command.required_text("subject", options->subject, "Bag id, box, place, field number, or the number on it",
                                  "NAME");
            command.required_text("--reason", options->reason, "Why, for the history", "TEXT");
            add_ledger_option(command, *options);
            add_by_option(command, *options);
            add_json_option(command, *options);
            command.example(
                "sherdmark revise --for bags B-7KM-00042 --reason \"stratum corrected\" --by \"R. Quill\"\n"
                "sherdmark plan\nsherdmark labels --for bags --out sheets");
            command.act([&session, options] { return act(session, *options); });
          }};
}

Subcommand spares_command(const Session& session) {
  return {"spares",
          "How the copies of a run fared, and which are spares that no label needs; spares lie about and end up on the "
          "wrong bag, so say when they were destroyed.",
          [&session](Command& command) {
            auto options = std::make_shared<SparesOptions>();
            command.required_text("run", options->run, "The run, as it stands at the head of every page", "RUN");
            command.flag("--destroyed", options->destroyed, "The spares were destroyed: they are out of force");
            add_ledger_option(command, *options);
            add_by_option(command, *options);
            add_json_option(command, *options);
            command.example("sherdmark spares R7KM00003\nsherdmark spares R7KM00003 --destroyed --by \"R. Quill\"");
            command.act([&session, options] { return act_on_spares(session, *options); });
          }};
}

}  // namespace sherdmark
