#include "inventory_scan.h"

#include <fmt/format.h>

#include <istream>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/count/inventory_session.h"
#include "sherdmark/ledger/scan_log.h"
#include "sherdmark/report/ledger_report.h"
#include "sherdmark/report/scan_report.h"

namespace sherdmark {
namespace {

// One line of a tired evening must not end the session: what cannot be done is answered like a label not read.
ScanFeedback answer(InventorySession& state, std::string_view line) {
  try {
    return state.hear(line);
  } catch (const Error& error) {
    if (error.family() != ErrorFamily::usage) throw;
    ScanFeedback feedback;
    feedback.signal = ScanSignal::not_read;
    feedback.line = "NOT DONE";
    feedback.more = {error.what()};
    return feedback;
  }
}

// The scan, the verdict on the set it ends and the scanner's set-up come onto the disk together, before any answer.
ScanFeedback answer_kept(InventorySession& state, Ledger& ledger, const Actor& actor, std::string_view line) {
  ScanFeedback feedback;
  write_as_one(ledger, [&] {
    feedback = answer(state, line);
    if (feedback.keyboard) remember_keyboard(ledger, actor, *feedback.keyboard);
  });
  return feedback;
}

}  // namespace

int inventory_scan(const Session& session, Ledger& ledger, const Actor& actor, const InventoryRecord& inventory,
                   std::istream& in, const InventoryScanOptions& options) {
  const auto keep_verdict = [&](const SetVerdict& verdict) {
    ledger.record_checks(actor, check_records(std::vector{verdict}));
  };
  InventorySession state{
      ledger,       actor,         inventory,  keyboard_of(ledger, actor.station).value_or(KeyboardSetup{}),
      keep_verdict, options.place, options.box};
  const bool bells = options.bells || session.environment().err_is_terminal;
  session.warn(fmt::format("Inventory {}: {} of {} bags seen. {}", group_identity(inventory.id), state.progress().seen,
                           state.progress().wanted,
                           options.place.empty() && options.box.empty()
                               ? "First scan the label of the shelf you stand at."
                               : "Scan bag after bag."));
  for (std::string line; std::getline(in, line);) {
    const ScanFeedback feedback = answer_kept(state, ledger, actor, line);
    session.say(options.json ? scan_feedback_json(feedback) : scan_feedback_text(feedback, bells));
    session.seams().out.flush();
    if (feedback.ended) break;
  }
  return state.found_anything() ? 1 : 0;
}

}  // namespace sherdmark
