#include "sherdmark/report/scan_report.h"
#include "report/json_value.h"

#include <fmt/format.h>

#include "report/count_words.h"
#include "sherdmark/base/clock.h"
#include "sherdmark/base/text.h"
#include "sherdmark/ledger/identity.h"

namespace sherdmark {
namespace {

using Json = JsonValue;

std::string_view to_text(ScanSignal signal) {
  switch (signal) {
    case ScanSignal::fine:
      return "fine";
    case ScanSignal::finding:
      return "finding";
    case ScanSignal::not_read:
      return "not read";
  }
  return "";
}

std::size_t bells_of(ScanSignal signal) {
  return signal == ScanSignal::fine ? 1 : signal == ScanSignal::not_read ? 2 : 3;
}

char mark_of(ScanSignal signal) {
  return signal == ScanSignal::fine ? '=' : signal == ScanSignal::not_read ? '?' : '!';
}

}  // namespace

std::string scan_feedback_text(const ScanFeedback& feedback, bool bells) {
  const std::string rule(60, mark_of(feedback.signal));
  std::string text = bells ? std::string(bells_of(feedback.signal), '\a') : std::string{};
  text += fmt::format("{}\n   {}\n{}\n", rule, printable(feedback.line), rule);
  for (const std::string& sentence : feedback.more) text += group_identities(printable(sentence)) + "\n";
  return text;
}

std::string scan_feedback_json(const ScanFeedback& feedback) {
  Json json{{"schema", 1},
            {"signal", to_text(feedback.signal)},
            {"line", feedback.line},
            {"more", feedback.more},
            {"heard", feedback.heard},
            {"accepted", feedback.accepted},
            {"bag", feedback.bag.empty() ? Json(nullptr) : Json(feedback.bag)},
            {"verdict", feedback.verdict ? Json(sherdmark::to_text(feedback.verdict->verdict)) : Json(nullptr)},
            {"ended", feedback.ended}};
  return json.line();
}

std::string scan_resumed_text(const ScanSessionRecord& session, const ScanSession& state) {
  return fmt::format("Session {} of {} goes on: {} scans, {} sets closed, {} labels in the open one{}.\n",
                     group_identity(session.id), time_in_words(session.started), session.heard.size(),
                     state.sets_closed(), state.open_set().readings.size(),
                     state.place().empty() ? "" : fmt::format(", at {}", printable(state.place())));
}

}  // namespace sherdmark
