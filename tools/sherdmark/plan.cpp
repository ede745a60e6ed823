#include <memory>

#include "commands.h"
#include "sherdmark/report/ledger_report.h"

namespace sherdmark {
namespace {

struct Options : CommonOptions {
  bool dry_run = false;
};

int act(const Session& session, const Options& options) {
  Ledger ledger = options.dry_run ? session.open_for_reading(options) : session.open_for_writing(options);
  const Plan plan = plan_labels(ledger);
  PlanReport report{plan, {}};
  if (!options.dry_run) report.result = ledger.store_plan(ledger.actor(session.person(options)), plan.labels);
  session.say(options.json ? plan_json(report) : plan_text(report));
  return 0;
}

}  // namespace

Subcommand plan_command(const Session& session) {
  return {"plan", "Decides which artifact gets which label and why, and what must never be marked; keeps the plan.",
          [&session](Command& command) {
            auto options = std::make_shared<Options>();
            command.flag("--dry-run", options->dry_run, "Show the plan; keep nothing");
            add_ledger_option(command, *options);
            add_by_option(command, *options);
            add_json_option(command, *options);
            command.example("sherdmark plan --by \"R. Quill\"");
            command.act([&session, options] { return act(session, *options); });
          }};
}

}  // namespace sherdmark
