// Cards that give an order instead of naming a thing: action cards for a handheld scanner, dividers between sets of
// pictures. Their texts are link codes (docs/formats/link-code.md, "Cards"); they are no prints, so their serial is
// k_card_serial, which no station makes. Callable from sheet, ledger, verify and tools. Frozen once printed.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sherdmark/code/link_code.h"

namespace sherdmark {

inline constexpr std::string_view k_card_serial = "00000000";

enum class ScanAction {
  next,   // NEXT: the container is done, the next one comes
  undo,   // UNDO: the last scan did not happen
  place,  // PLACE: the next shelf or box label says where the following containers are
  end,    // END: the session is over
  setup   // SETUP: does the scanner send every character as it should?
};

[[nodiscard]] const std::vector<ScanAction>& all_scan_actions();  // in the order of a card page
[[nodiscard]] std::string_view to_text(ScanAction action);        // "NEXT" …: the word in the code
[[nodiscard]] std::optional<ScanAction> parse_scan_action(std::string_view word);

// Text of the card. The set-up card also carries every character a code can have. data_error: not a collection key.
[[nodiscard]] std::string write_action_card(const std::string& collection_key, ScanAction action);
// std::nullopt: not an action card, or an action word this program does not know (a newer deck).
[[nodiscard]] std::optional<ScanAction> action_of(const LinkCode& link);

// Divider that begins a set of pictures. `set`: what the set is called, 1-32 characters 0-9A-Z. data_error otherwise.
[[nodiscard]] std::string write_divider(const std::string& collection_key, const std::string& set);
// Name of the set that begins here; empty for a divider without one. std::nullopt: not a divider.
[[nodiscard]] std::optional<std::string> divider_set(const LinkCode& link);

}  // namespace sherdmark
