// What a person at a handheld scanner sees and hears.
#pragma once

#include <string>

#include "sherdmark/ledger/scan_log.h"
#include "sherdmark/verify/scan_session.h"

namespace sherdmark {

// One large line between rules, small lines under it; before it the bells when asked for: one for fine, two for not
// read, three for a finding.
[[nodiscard]] std::string scan_feedback_text(const ScanFeedback& feedback, bool bells);
// The same as one line of JSON with "schema":1.
[[nodiscard]] std::string scan_feedback_json(const ScanFeedback& feedback);
[[nodiscard]] std::string scan_resumed_text(const ScanSessionRecord& session, const ScanSession& state);

}  // namespace sherdmark
