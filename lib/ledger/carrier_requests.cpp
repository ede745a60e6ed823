// What stands on each print of a run, and on cards.
#include "ledger/carrier_requests.h"

#include <fmt/format.h>

#include <unordered_map>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/code/cards.h"
#include "sherdmark/code/link_code.h"
#include "sherdmark/ledger/identity.h"
#include "sherdmark/ledger/plan_labels.h"
#include "sherdmark/ledger/role_labels.h"

namespace sherdmark {
namespace {

// Large on the label: of a place only its own name, what it lies in stands above it.
std::string large_text(LabelRole role, const PrintRecord& print) {
  if (role != LabelRole::shelf || print.number == print.subject) return print.number;
  return print.number.substr(print.number.rfind('/') + 1);
}

}  // namespace

std::string shown_id(LabelRole role, const std::string& subject, const std::string& number) {
  const bool of_bag = role == LabelRole::bag || role == LabelRole::tag || role == LabelRole::removal_slip;
  return of_bag && number == subject ? group_identity(subject) : std::string{};
}

namespace {

class Requests {
 public:
  Requests(const Ledger& ledger, LabelRole role) : ledger_(ledger), role_(role) {
    for (LabelRecord& label : ledger.labels(role)) labels_.emplace(label.subject, std::move(label));
  }

  CarrierLabelRequest of(const PrintRecord& print) {
    const auto label = labels_.find(print.subject);
    if (label == labels_.end()) throw internal_error(fmt::format("the print {} has no label.", print.serial));
    CarrierLabelRequest whole;
    whole.role = role_;
    whole.bag = role_ == LabelRole::field_tag ? std::string{} : print.subject;
    whole.number = large_text(role_, print);
    whole.shown = shown_id(role_, print.subject, print.number);
    whole.serial = print.serial;
    whole.revision = print.revision;
    whole.code_text = carrier_code(ledger_, print);
    whole.fields = read_carrier_text(label->second.text);
    if (label->second.copies <= 1) return whole;
    return part_of(whole, print, label->second);
  }

 private:
  CarrierLabelRequest part_of(const CarrierLabelRequest& whole, const PrintRecord& print, const LabelRecord& label) {
    auto [known, fresh] = parts_.try_emplace(print.subject);
    if (fresh) known->second = continue_label(whole, ledger_.standard());
    if (static_cast<std::int64_t>(known->second.size()) != label.copies)
      throw usage_error(fmt::format("the label of {} does not fit as it did when it was planned", print.number),
                        "make the labels that are due anew");
    CarrierLabelRequest part = known->second.at(static_cast<std::size_t>(print.ordinal) - 1);
    part.serial = whole.serial;
    part.code_text = whole.code_text;
    return part;
  }

  const Ledger& ledger_;
  LabelRole role_;
  std::unordered_map<std::string, LabelRecord> labels_;
  std::unordered_map<std::string, std::vector<CarrierLabelRequest>> parts_;
};

CarrierLabelRequest card(const std::string& repository, LabelRole role, const std::string& large,
                         const std::string& says, std::string code) {
  CarrierLabelRequest request;
  request.role = role;
  request.number = large;
  request.serial = k_card_serial;
  request.code_text = std::move(code);
  request.fields = {{"says", says}, {"repository", repository}};
  return request;
}

struct ActionWords {
  ScanAction action;
  std::string_view large;
  std::string_view says;
};
constexpr ActionWords k_actions[] = {
    {ScanAction::setup, "SET-UP", "Scan this first. It shows whether the scanner sends every character as it should."},
    {ScanAction::place, "PLACE", "Then scan the shelf or box that the following bags are in."},
    {ScanAction::next, "NEXT", "This bag is done. The next one comes."},
    {ScanAction::undo, "UNDO", "The last scan did not happen."},
    {ScanAction::end, "END", "The session is over."},
};

}  // namespace

std::string carrier_code(const Ledger& ledger, const PrintRecord& print) {
  const bool of_bag =
      print.role == LabelRole::bag || print.role == LabelRole::tag || print.role == LabelRole::removal_slip;
  const auto bag = of_bag ? ledger.find_bag(print.subject) : std::nullopt;
  const bool too_long = print.role == LabelRole::shelf && code_point_count(print.number) > k_longest_number;
  return write_link_code({.collection_key = ledger.collection_key(),
                          .role = print.role,
                          .subject = print.role == LabelRole::field_tag ? std::string{} : print.subject,
                          .number = too_long ? std::string{} : print.number,
                          .number_is_opaque = bag && bag->sensitive,
                          .ordinal = print.ordinal,
                          .serial = print.serial,
                          .revision = print.revision});
}

std::vector<CarrierLabelRequest> carrier_requests(const Ledger& ledger, const std::string& run, LabelRole role) {
  Requests requests{ledger, role};
  std::vector<CarrierLabelRequest> made;
  for (const RunPrint& one : ledger.prints_of_run(run)) made.push_back(requests.of(one.print));
  return made;
}

std::vector<CarrierLabelRequest> action_cards(const std::string& collection_key, const std::string& repository) {
  std::vector<CarrierLabelRequest> cards;
  for (const ActionWords& words : k_actions)
    cards.push_back(card(repository, LabelRole::action, std::string{words.large}, std::string{words.says},
                         write_action_card(collection_key, words.action)));
  return cards;
}

std::vector<CarrierLabelRequest> action_cards(const Ledger& ledger) {
  return action_cards(ledger.collection_key(), ledger.standard().repository);
}

std::vector<CarrierLabelRequest> divider_cards(const std::string& collection_key, const std::string& repository,
                                               int first, int count) {
  std::vector<CarrierLabelRequest> cards;
  for (int i = first; i < first + count; ++i)
    cards.push_back(card(repository, LabelRole::divider, fmt::format("Set {}", i),
                         "Photograph this card alone; the pictures after it are one set.",
                         write_divider(collection_key, std::to_string(i))));
  return cards;
}

std::vector<CarrierLabelRequest> divider_cards(const Ledger& ledger, int first, int count) {
  return divider_cards(ledger.collection_key(), ledger.standard().repository, first, count);
}

std::string sheet_title(LabelRole role) {
  switch (role) {
    case LabelRole::artifact:
      return "Artifact labels";
    case LabelRole::bag:
      return "Bag labels";
    case LabelRole::tag:
      return "Interior tags";
    case LabelRole::box:
      return "Box labels";
    case LabelRole::shelf:
      return "Shelf labels";
    case LabelRole::field_tag:
      return "Field tags";
    case LabelRole::removal_slip:
      return "Removal slips";
    case LabelRole::divider:
      return "Divider cards";
    case LabelRole::action:
      return "Scanner cards";
  }
  throw internal_error("a role without a title.");
}

std::vector<std::string> sheet_instructions(const HouseStandard& standard, LabelRole role) {
  std::vector<std::string> words{role == LabelRole::artifact
                                     ? "Print at 100 %, never \"fit to page\"; the bar below must measure what it says."
                                     : "Print at 100 %, never \"fit to page\"."};
  switch (role) {
    case LabelRole::artifact:
      words.emplace_back(
          "Laser printer only. Cut along the shared lines. Keep each label with its bag until it is glued.");
      return words;
    case LabelRole::bag:
      words.emplace_back("Cut along the shared lines. One label outside on each bag, text and code flat.");
      break;
    case LabelRole::tag:
      words.emplace_back("Cut along the shared lines. One tag loose within each bag, text outwards.");
      break;
    case LabelRole::box:
      words.emplace_back("On the short side of the box that faces the aisle, one a box.");
      break;
    case LabelRole::shelf:
      words.emplace_back("At the front edge of the shelf, above what stands on it.");
      break;
    case LabelRole::field_tag:
      words.emplace_back(
          "One tag into each bag in the field; it stays there for ever. Write in pencil or lasting ink.");
      break;
    case LabelRole::removal_slip:
      words.emplace_back("Lay the slip where the bag stood. Take it out when the bag is back.");
      break;
    case LabelRole::divider:
      words.emplace_back("Photograph the card alone, then its set.");
      break;
    case LabelRole::action:
      words.emplace_back("Keep the cards at the bench, beside the scanner.");
      break;
  }
  words.push_back("On: " + standard.stock_of(role).material + ".");
  return words;
}

}  // namespace sherdmark
