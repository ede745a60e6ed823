// What a handheld scanner that acts as a keyboard makes of our codes when it types by another layout than the computer
// listens by: found out from the set-up card, and undone. Pure; callable from ledger, verify and tools.
// Layouts: xkeyboard-config 2.35.1, symbols us, gb, de and fr, "basic"; only keys on which 0-9 and A-Z lie matter.
// Over these US and UK differ only where French digits are shifted. Caps lock shifts letters everywhere, and on some
// systems the digits of a German or French keyboard, too (from memory): both are undone.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sherdmark/code/link_code.h"

namespace sherdmark {

enum class Keyboard { us, uk, german, french };
[[nodiscard]] std::string_view to_text(Keyboard keyboard);  // "US", "UK", "German", "French"

struct KeyboardSetup {
  Keyboard scanner = Keyboard::us;   // the layout the scanner types by
  Keyboard computer = Keyboard::us;  // the layout the computer listens by
  bool swapped_case = false;         // caps lock, or the scanner's own setting
  std::string prefix;                // typed before each scan
  std::string suffix;                // typed after it, without the line end
  friend bool operator==(const KeyboardSetup&, const KeyboardSetup&) = default;
  [[nodiscard]] bool changes_nothing() const { return scanner == computer && !swapped_case; }
};

// "US", or "US on German" for a US scanner on a German computer; stored, frozen. `parse` is its inverse.
[[nodiscard]] std::string layout_text(const KeyboardSetup& setup);
[[nodiscard]] bool parse_layout(std::string_view text, KeyboardSetup& setup);

// Every pair of layouts, with and without changed case, that makes something else of a code; the unchanged one first.
[[nodiscard]] const std::vector<KeyboardSetup>& keyboard_setups();

// What the computer hears of a code (0-9A-Z), with prefix and suffix.
[[nodiscard]] std::string typed_by(const KeyboardSetup& setup, std::string_view code);
// The code that was scanned when this was heard; std::nullopt when no code sounds so.
[[nodiscard]] std::optional<std::string> undo_keyboard(const KeyboardSetup& setup, std::string_view heard);

// From one scan of the set-up card of this collection. Several pairs of layouts can sound the same; the first is given.
// std::nullopt: it is not that card, or it was not read whole.
[[nodiscard]] std::optional<KeyboardSetup> detect_keyboard(std::string_view heard, const std::string& collection_key);
// One or two sentences for the person at the scanner.
[[nodiscard]] std::string keyboard_in_words(const KeyboardSetup& setup);

enum class Understood {
  as_heard,      // a code as it stands, or no code at all
  by_setup,      // undone as the station's set-up says
  other_layout,  // another layout: exactly one of them makes a code of this collection whose check characters hold
  uncertain      // several do; nothing is accepted
};
struct HeardCode {
  Understood how = Understood::as_heard;
  std::string text;     // the code; what was heard (trimmed, without prefix and suffix) when it is no code
  LinkReading reading;  // of `text`
  Keyboard scanner = Keyboard::us, computer = Keyboard::us;  // for other_layout
};
// Micro-codes carry no collection key: they are understood as heard or by the set-up only.
[[nodiscard]] HeardCode understand(std::string_view heard, const std::string& collection_key,
                                   const KeyboardSetup& setup);

}  // namespace sherdmark
