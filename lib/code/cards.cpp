#include "sherdmark/code/cards.h"

#include <algorithm>
#include <array>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

// Frozen: docs/formats/link-code.md, "Cards".
constexpr std::array<std::string_view, 5> k_words = {"NEXT", "UNDO", "PLACE", "END", "SETUP"};
constexpr std::string_view k_every_character = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";

LinkCode card(const std::string& collection_key, LabelRole role, std::string subject) {
  LinkCode link;
  link.collection_key = collection_key;
  link.role = role;
  link.subject = std::move(subject);
  link.serial = k_card_serial;
  return link;
}

}  // namespace

const std::vector<ScanAction>& all_scan_actions() {
  static const std::vector<ScanAction> k_actions{ScanAction::next, ScanAction::undo, ScanAction::place, ScanAction::end,
                                                 ScanAction::setup};
  return k_actions;
}

std::string_view to_text(ScanAction action) { return k_words.at(static_cast<std::size_t>(action)); }

std::optional<ScanAction> parse_scan_action(std::string_view word) {
  for (const ScanAction action : all_scan_actions())
    if (to_text(action) == word) return action;
  return std::nullopt;
}

std::string write_action_card(const std::string& collection_key, ScanAction action) {
  LinkCode link = card(collection_key, LabelRole::action, std::string{to_text(action)});
  if (action == ScanAction::setup) link.number = k_every_character;
  return write_link_code(link);
}

std::optional<ScanAction> action_of(const LinkCode& link) {
  if (link.role != LabelRole::action) return std::nullopt;
  return parse_scan_action(link.subject);
}

std::string write_divider(const std::string& collection_key, const std::string& set) {
  if (set.empty())
    throw data_error("a divider card must name the set that begins with it.", {}, "Give it a number or a short name.");
  return write_link_code(card(collection_key, LabelRole::divider, set));
}

std::optional<std::string> divider_set(const LinkCode& link) {
  if (link.role != LabelRole::divider) return std::nullopt;
  return link.subject;
}

}  // namespace sherdmark
