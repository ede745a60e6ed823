#include <fmt/format.h>

#include <memory>

#include "commands.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/report/printing_report.h"

namespace sherdmark {
namespace {

struct Options : CommonOptions {
  std::string what;
  SoakTest test;
  std::string outcome;
};

// A slip of the pen would make a test that never holds: what labels go by is the name that calibrate was given.
void require_known(const Session& session, const Ledger& ledger, const std::string& name) {
  if (trim(name).empty() || find_printer(ledger, std::string{trim(name)})) return;
  if (!printers(ledger).empty()) throw no_such_printer(ledger, name);
  session.warn(fmt::format(
      "No printer is calibrated yet. Calibrate it under this very name, \"{}\", or the test holds for no sheet.",
      printable(trim(name))));
}

int act(const Session& session, const Options& options) {
  const std::string today = format_time(session.seams().clock.now()).substr(0, 10);
  if (options.what == "list") {
    const std::vector<SoakTest> tests = soak_tests(session.open_for_reading(options));
    session.say(options.json ? soak_tests_json(tests, today) : soak_tests_text(tests, today));
    return 0;
  }
  if (options.what.empty()) throw usage_error("nothing was asked for.", "Say soak-test record or list.");
  if (options.outcome.empty())
    throw usage_error("whether the toner held was not said.", "Say --outcome passed or --outcome failed.");
  Ledger ledger = session.open_for_writing(options);
  const Actor actor = ledger.actor(session.person(options));
  SoakTest test = options.test;
  require_known(session, ledger, test.printer);
  test.passed = options.outcome == "passed";
  if (test.date.empty()) test.date = today;
  if (test.paper.empty()) test.paper = ledger.standard().artifact_stock.material;
  test = record_soak_test(ledger, actor, std::move(test), today);
  session.say(options.json ? soak_test_json(test) : soak_test_text(test));
  return 0;
}

}  // namespace

Subcommand soak_test_command(const Session& session) {
  return {
      "soak-test",
      "Records that a printed scrap was soaked in the adhesive, and whether the toner held; lists what is recorded.",
      [&session](Command& command) {
        auto options = std::make_shared<Options>();
        command.one_of("what", options->what, {"record", "list"}, "record: one test; list: all, newest first");
        command.text("--printer", options->test.printer, "The printer, as calibrate names it", "NAME");
        command.text("--toner", options->test.toner, "The toner, in generic words or by your stores' number", "TEXT");
        command.text("--paper", options->test.paper, "The paper (default: the standard's for artifact labels)", "TEXT");
        command.text("--adhesive", options->test.adhesive, "The adhesive and its solvent", "TEXT");
        command.text("--date", options->test.date, "The day the scrap was judged (default: today)", "DATE");
        command.one_of("--outcome", options->outcome, {"passed", "failed"},
                       "passed: after drying the print is whole, nothing moved or bled");
        add_ledger_option(command, *options);
        add_by_option(command, *options);
        add_json_option(command, *options);
        command.example(
            "sherdmark soak-test record --printer \"Front office\" --toner \"black, lot 31-7\" \\\n"
            "  --adhesive \"acrylic resin in acetone\" --outcome passed --by \"R. Quill\"\n"
            "sherdmark soak-test list");
        command.act([&session, options] { return act(session, *options); });
      }};
}

}  // namespace sherdmark
