#include "sherdmark/code/cards.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

// Frozen: docs/formats/link-code.md, "Cards".
constexpr std::array<std::string_view, 5> k_words = {"NEXT", "UNDO", "PLACE", "END", "SETUP"};
constexpr std::string_view k_every_character = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
constexpr std::size_t k_key_at = 3;
constexpr std::size_t k_key_length = 4;
constexpr std::size_t k_check_length = 2;

LinkCode card(const std::string& collection_key, LabelRole role, std::string subject) {
  LinkCode link;
  link.collection_key = collection_key;
  link.role = role;
  link.subject = std::move(subject);
  link.serial = k_card_serial;
  return link;
}

// The set-up card between its key and its check characters, which differ from collection to collection.
bool is_fixed(std::size_t at, std::size_t length) {
  return (at < k_key_at || at >= k_key_at + k_key_length) && at < length - k_check_length;
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

std::optional<std::string> judge_setup_scan(std::string_view heard) {
  const std::string sent = write_action_card("0000", ScanAction::setup);
  if (heard.size() != sent.size()) return std::nullopt;
  std::string capitals{heard};
  const bool small = heard == to_lower_ascii(heard);
  if (small) capitals = to_upper_ascii(heard);
  if (const LinkReading whole = parse_code_text(capitals); whole.link && action_of(*whole.link) == ScanAction::setup)
    return small ? "The scanner sends small letters; that is understood, but switch caps lock off in its set-up."
                 : std::string{};
  std::map<char, char> came_as;
  std::size_t right = 0;
  std::size_t fixed = 0;
  for (std::size_t i = 0; i < sent.size(); ++i) {
    if (!is_fixed(i, sent.size())) continue;
    ++fixed;
    if (heard[i] == sent[i])
      ++right;
    else
      came_as.emplace(sent[i], heard[i]);
  }
  if (right * 2 < fixed) return std::nullopt;
  if (came_as.empty()) return "The scan was cut or garbled; scan the set-up card once more.";
  std::vector<std::string> changes;
  for (const auto& [is, was] : came_as) changes.push_back(fmt::format("{} as {}", is, printable(std::string{was})));
  return fmt::format(
      "The scanner sends {}: its keyboard layout is not that of this computer. Set the scanner to this computer's "
      "layout, by its manual.",
      join(changes, ", "));
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
