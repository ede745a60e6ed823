#include "sherdmark/verify/scan_hearing.h"

#include <algorithm>
#include <array>

#include "sherdmark/base/text.h"

namespace sherdmark::hearing {

ScanFeedback say(ScanFeedback feedback, ScanSignal signal, std::string line, std::string more) {
  feedback.signal = signal;
  feedback.line = std::move(line);
  if (!more.empty()) feedback.more.push_back(std::move(more));
  return feedback;
}

ScanFeedback not_read(ScanFeedback feedback, std::string line, std::string more) {
  feedback.accepted = false;
  return say(std::move(feedback), ScanSignal::not_read, std::move(line), std::move(more));
}

HeardLine hear(std::string_view line, const std::string& collection_key, KeyboardSetup& keyboard) {
  ScanFeedback feedback;
  if (trim(line).empty()) return {not_read(feedback, "NOTHING READ", "An empty line came from the scanner."), {}};
  if (auto shown = detect_keyboard(line, collection_key)) {
    keyboard = *shown;
    feedback.keyboard = std::move(shown);
    return {say(std::move(feedback), ScanSignal::fine, "SCANNER SET UP", keyboard_in_words(keyboard)), {}};
  }
  HeardCode code = understand(line, collection_key, keyboard);
  if (code.how == Understood::uncertain)
    return {
        not_read(feedback, "NOT SURE", "This can be read in two ways. Scan the set-up card, then this label again."),
        {}};
  feedback.heard = code.text;
  if (code.reading.status == LinkStatus::damaged)
    return {not_read(std::move(feedback), "NOT READ",
                     "The code came damaged. Scan it again, or type what stands on the label."),
            {}};
  if (code.reading.status == LinkStatus::newer)
    return {not_read(std::move(feedback), "NEWER LABEL",
                     "This label was made by a newer program; nothing is made of it here."),
            {}};
  feedback.accepted = true;
  if (code.how == Understood::other_layout)
    feedback.more.push_back(
        "The scanner types by another keyboard layout; its check characters made this one certain. "
        "Scan the set-up card once.");
  return {std::move(feedback), std::move(code)};
}

std::optional<ScanFeedback> told_to_stop_or_help(std::string_view text, const ScanFeedback& feedback,
                                                 std::string_view can_be_said) {
  const std::string word = to_lower_ascii(trim(text));
  const auto is_one_of = [&word](const auto& words) { return std::ranges::find(words, word) != std::end(words); };
  constexpr std::array<std::string_view, 4> k_help = {"help", "?", "h", "--help"};
  constexpr std::array<std::string_view, 7> k_stop = {"quit", "exit", "stop", "q", "bye", "close", ":q"};
  if (is_one_of(k_help)) return not_read(feedback, "WHAT CAN BE SAID", std::string{can_be_said});
  if (is_one_of(k_stop))
    return not_read(feedback, "TO STOP", "Type END to end the session. Ctrl-D leaves it open, to go on another time.");
  return std::nullopt;
}

}  // namespace sherdmark::hearing
