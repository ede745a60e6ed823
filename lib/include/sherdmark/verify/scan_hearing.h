// What every session with a handheld scanner does with a line before the line means anything to it: an empty line, the
// set-up card, a code that cannot be made out. Pure; no errors.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "sherdmark/code/keyboard.h"
#include "sherdmark/verify/scan_session.h"

namespace sherdmark::hearing {

// `line` is the large one, `more` a whole sentence under it, or empty.
[[nodiscard]] ScanFeedback say(ScanFeedback feedback, ScanSignal signal, std::string line, std::string more = {});
// Nothing came of the line: it is not accepted.
[[nodiscard]] ScanFeedback not_read(ScanFeedback feedback, std::string line, std::string more);

struct HeardLine {
  ScanFeedback feedback;          // with a code: `heard` and `accepted` are set, the rest is the session's to say
  std::optional<HeardCode> code;  // ours, or foreign (typed words too); absent: the feedback says all there is to say
};
// `keyboard` becomes what the set-up card shows, when the line is one.
[[nodiscard]] HeardLine hear(std::string_view line, const std::string& collection_key, KeyboardSetup& keyboard);

// Typed words that a person would say to any program: "help" and "?" are answered with `can_be_said`, "quit", "exit"
// and the like with how to stop. Nothing is done by either. std::nullopt for any other text.
[[nodiscard]] std::optional<ScanFeedback> told_to_stop_or_help(std::string_view text, const ScanFeedback& feedback,
                                                               std::string_view can_be_said);

}  // namespace sherdmark::hearing
