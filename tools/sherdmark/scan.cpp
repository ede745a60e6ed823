#include <fmt/format.h>

#include <memory>
#include <sstream>

#include "commands.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/report/check_report.h"
#include "sherdmark/report/ledger_report.h"
#include "sherdmark/report/scan_report.h"

namespace sherdmark {
namespace {

struct Options : CommonOptions {
  std::string from;
  std::string replay;
  bool bells = false;
  bool fresh = false;
};

ScanSession session_of(const Ledger& ledger, const std::string& name, const KeyboardSetup& keyboard) {
  return {ledger, ledger.standard(), [&ledger](const std::string& id) { return path_of_place(ledger, id); },
          group_identity(name), keyboard};
}

// Whatever was accepted is on disk before anything is shown, with the verdict it brought: both or neither.
void keep(Ledger& ledger, const Actor& actor, const std::string& id, const ScanFeedback& feedback) {
  if (!feedback.keyboard && !feedback.accepted) return;
  write_as_one(ledger, [&] {
    if (feedback.keyboard) remember_keyboard(ledger, actor, *feedback.keyboard);
    if (!feedback.accepted) return;
    if (feedback.verdict) ledger.record_checks(actor, check_records(std::vector{*feedback.verdict}));
    record_scan(ledger, actor, id, feedback.heard, feedback.bag);
    if (feedback.ended) close_scan_session(ledger, actor, id);
  });
}

void show(const Session& session, const Options& options, const ScanFeedback& feedback) {
  session.say(options.json ? scan_feedback_json(feedback)
                           : scan_feedback_text(feedback, options.bells || session.environment().err_is_terminal));
  session.seams().out.flush();
}

int replay(const Session& session, const Options& options) {
  const Ledger ledger = session.open_for_reading(options);
  const std::string id = parse_identity(IdentityKind::scan, options.replay).value_or(options.replay);
  const auto record = find_scan_session(ledger, id);
  if (!record)
    throw usage_error(fmt::format("there is no scanning session {}.", printable(options.replay)),
                      "Its name stands in the history of the bags it scanned.");
  ScanSession state = session_of(ledger, id, {});
  bool all_agree = true;
  for (const std::string& heard : record->heard) {
    const ScanFeedback feedback = state.hear(heard);
    all_agree = all_agree && (!feedback.verdict || feedback.verdict->verdict == Verdict::agree);
    show(session, options, feedback);
  }
  return all_agree ? 0 : 1;
}

int act(const Session& session, const Options& options) {
  if (!options.replay.empty()) return replay(session, options);
  std::istringstream recorded;
  if (!options.from.empty()) {
    const Bytes bytes = session.seams().files.read(options.from, k_image_file_limit_bytes);
    recorded.str(std::string{reinterpret_cast<const char*>(bytes.data()), bytes.size()});
  }
  std::istream& in = options.from.empty() ? session.seams().in : recorded;
  Ledger ledger = session.open_for_writing(options);
  const Actor actor = ledger.actor(session.person(options));
  auto record = open_session_of(ledger, actor.station);
  if (record && options.fresh) {
    close_scan_session(ledger, actor, record->id);
    record.reset();
  }
  const std::string id = record ? record->id : open_scan_session(ledger, actor);
  const KeyboardSetup keyboard = keyboard_of(ledger, actor.station).value_or(KeyboardSetup{});
  ScanSession state = session_of(ledger, id, {});
  if (record) {
    for (const std::string& heard : record->heard) (void)state.hear(heard);
    session.warn(trim(scan_resumed_text(*record, state)));
  }
  state.use_keyboard(keyboard);
  bool all_agree = true;
  for (std::string line; std::getline(in, line);) {
    const ScanFeedback feedback = state.hear(line);
    keep(ledger, actor, id, feedback);
    all_agree = all_agree && (!feedback.verdict || feedback.verdict->verdict == Verdict::agree);
    show(session, options, feedback);
    if (feedback.ended) return all_agree ? 0 : 1;
  }
  session.warn(
      fmt::format("Session {} stays open: call scan again to go on, or scan the card END.", group_identity(id)));
  return all_agree ? 0 : 1;
}

}  // namespace

Subcommand scan_command(const Session& session) {
  return {"scan",
          "A session with a handheld scanner that types: bag, tag and artifacts in any order, NEXT between bags; every "
          "scan is kept before you see what came of it.",
          [&session](Command& command) {
            auto options = std::make_shared<Options>();
            command.text("--from", options->from, "Take the lines from this file, as if they were scanned", "FILE");
            command.text("--replay", options->replay, "Show again what came of a session; writes nothing", "SESSION");
            command.flag("--bells", options->bells,
                         "Ring even when no terminal is seen: 1 fine, 2 not read, 3 finding");
            command.flag("--new", options->fresh, "End the session that was left open and begin another");
            add_ledger_option(command, *options);
            add_by_option(command, *options);
            add_json_option(command, *options);
            command.example(
                "sherdmark scan --by \"R. Quill\"\n"
                "sherdmark scan --replay S7KM00001");
            command.act([&session, options] { return act(session, *options); });
          }};
}

}  // namespace sherdmark
