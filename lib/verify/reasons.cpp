#include "sherdmark/verify/reasons.h"

#include <array>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

// clang-format off
constexpr std::array k_rules{
    ReasonRule{ReasonCode::several_bags, "several-bags", Verdict::disagree,
        "Labels of several bags lie in one set: {bags}.",
        "Photograph each bag on its own."},
    ReasonRule{ReasonCode::several_collections, "several-collections", Verdict::disagree,
        "Labels of two collections lie in one set: {label} is not of this collection.",
        "Find out how the foreign label came here, and keep it with its own bag."},
    ReasonRule{ReasonCode::wrong_tag, "wrong-tag", Verdict::disagree,
        "The tag belongs to bag {other}, but the bag label is of bag {bag}.",
        "Find the right tag; the bag that this one belongs to may hold it."},
    ReasonRule{ReasonCode::wrong_slip, "wrong-slip", Verdict::disagree,
        "The removal slip is of bag {other}, but the bag label is of bag {bag}.",
        "Find out which bag went and which stayed; put the slip where the bag that went belongs."},
    ReasonRule{ReasonCode::duplicate_label, "duplicate-label", Verdict::disagree,
        "Two copies of one label turned up: {label}.",
        "Keep one copy, void the other, and look for the bag that now lacks a label."},
    ReasonRule{ReasonCode::record_mismatch, "record-mismatch", Verdict::disagree,
        "The {label} does not say what was recorded when its serial was printed: the {field} differs.",
        "Set the label aside and print a new one; find out where this one came from."},
    ReasonRule{ReasonCode::number_not_in_bag, "number-not-in-bag", Verdict::disagree,
        "The {label} names {number}, which bag {bag} does not hold.",
        "Look the number up; then either revise the label or correct what the bag holds."},
    ReasonRule{ReasonCode::wrong_field_tag, "wrong-field-tag", Verdict::disagree,
        "The field tag {number} belongs to another lot than bag {bag}.",
        "Find out which lot the field tag came from before anything is moved."},
    ReasonRule{ReasonCode::foreign_artifact, "foreign-artifact", Verdict::disagree,
        "The artifact {number} does not belong in bag {bag}; it is recorded in {where}.",
        "Take it out and put it into the bag where it is recorded, or record the move."},
    ReasonRule{ReasonCode::unexpected_label, "unexpected-label", Verdict::disagree,
        "An artifact carries the number {number}, but no piece in bag {bag} should carry that label.",
        "Compare the piece with its catalog row; a number may be cut short or a sub-number missing."},
    ReasonRule{ReasonCode::never_label, "never-label", Verdict::disagree,
        "The artifact {number} carries a label, but the house standard says it is never labelled.",
        "Do not remove anything; tell the conservator."},
    ReasonRule{ReasonCode::too_many_copies, "too-many-copies", Verdict::disagree,
        "{seen} labels of {number} were seen, but only {expected} belong in bag {bag}.",
        "Count the pieces of this number; one may have come from another bag or carry a wrong label."},
    ReasonRule{ReasonCode::no_common_bag, "no-common-bag", Verdict::disagree,
        "The artifacts {number} and {other} are not recorded in any one bag together.",
        "Sort them by their bags and photograph each with its bag label and tag."},
    ReasonRule{ReasonCode::pieces_over, "pieces-over", Verdict::disagree,
        "{seen} pieces were counted, but bag {bag} is recorded with {expected}.",
        "Count again; then look for the bag that the extra pieces came from."},

    ReasonRule{ReasonCode::another_collection, "another-collection", Verdict::unknown,
        "The {label} was read well, but it is of another collection (key {key}).",
        "Check it against that collection's own ledger."},
    ReasonRule{ReasonCode::no_bag_record, "no-bag-record", Verdict::unknown,
        "The {label} is of this collection, but no bag {bag} is recorded.",
        "Make sure this is the newest copy of the ledger; then find the paper record."},
    ReasonRule{ReasonCode::no_print_record, "no-print-record", Verdict::unknown,
        "The {label} is of this collection, but no print with its serial is recorded.",
        "Make sure this is the newest copy of the ledger; otherwise print a new label."},
    ReasonRule{ReasonCode::no_number_record, "no-number-record", Verdict::unknown,
        "The number {number} on the {role} was read well, but no record carries it.",
        "Look for it in the paper catalog and take it in, or key what the label really says."},
    ReasonRule{ReasonCode::unbound_field_number, "unbound-field-number", Verdict::unknown,
        "The field number {number} on the {role} is reserved, but not yet bound to a lot.",
        "Bind the field number to its lot."},

    ReasonRule{ReasonCode::not_read_surely, "not-read-surely", Verdict::unreadable,
        "The {label} was seen but not read surely.",
        "Take a closer, sharper picture, or key what it says."},
    ReasonRule{ReasonCode::newer_format, "newer-format", Verdict::unreadable,
        "A code was printed by a newer version of this program, which this version cannot read.",
        "Update the program on this computer."},
    ReasonRule{ReasonCode::serial_not_read, "serial-not-read", Verdict::unreadable,
        "The {label} was read only in part: its {field} is missing.",
        "Take a closer picture of its code, or key the whole label."},
    ReasonRule{ReasonCode::low_margin, "low-margin", Verdict::unreadable,
        "The {label} could be read in two ways that are too much alike.",
        "Take a closer, sharper picture, or key what it says."},
    ReasonRule{ReasonCode::conflicting_readings, "conflicting-readings", Verdict::unreadable,
        "The {label} reads differently from one picture or place to the next.",
        "Take one clear picture of it."},
    ReasonRule{ReasonCode::micro_code_conflict, "micro-code-conflict", Verdict::unreadable,
        "An artifact label says one number in its text and another in its small code.",
        "Look at the label; set the piece aside until it is clear which is right."},
    ReasonRule{ReasonCode::copies_not_told_apart, "copies-not-told-apart", Verdict::unreadable,
        "Between {seen} and {most} pieces of {number} are in the picture; which labels are on one piece is not clear.",
        "Spread the pieces and take a closer picture; an old label beside the new one needs a person to look."},
    ReasonRule{ReasonCode::keyed_copies, "keyed-copies", Verdict::unreadable,
        "Of {number}, {seen} of {expected} labels are certain; the crops keyed for the rest may show one label twice, so a "
        "new photograph is needed.",
        "Take a new photograph with every label whole and apart from the others."},
    ReasonRule{ReasonCode::not_an_item_number, "not-an-item-number", Verdict::unreadable,
        "An artifact label reads {number}, which names no single item; part of the number may be hidden.",
        "Uncover the whole label and take another picture."},
    ReasonRule{ReasonCode::ambiguous_former_number, "ambiguous-former-number", Verdict::unreadable,
        "The former number {number} on the {role} leads to several items or pieces.",
        "Decide from the record which one this is and label it with its present number."},
    ReasonRule{ReasonCode::reused_number, "reused-number", Verdict::unreadable,
        "The number {number} on the {role} is that of {item} now, but {other} carried it before.",
        "Compare the object with both records, and give one of the two a number that nothing else ever had."},
    ReasonRule{ReasonCode::not_accounted, "not-accounted", Verdict::unreadable,
        "Something in this set is not accounted for by any rule.",
        "Have a person look at the set."},

    ReasonRule{ReasonCode::void_label, "void-label", Verdict::stale,
        "The {label} was declared void.",
        "Replace it with the label that is in force."},
    ReasonRule{ReasonCode::spoiled_label, "spoiled-label", Verdict::stale,
        "The {label} was recorded as spoiled.",
        "Replace it with its reprint."},
    ReasonRule{ReasonCode::superseded_label, "superseded-label", Verdict::stale,
        "The {label} was replaced by a later one.",
        "Put the later label in its place and take this one away."},
    ReasonRule{ReasonCode::older_revision, "older-revision", Verdict::stale,
        "The {label} is revision {revision}, but revision {newer} is in force.",
        "Put the newer label in its place and take this one away."},
    ReasonRule{ReasonCode::never_printed, "never-printed", Verdict::stale,
        "The {label} was generated, but nobody has confirmed it as printed.",
        "Confirm the pages of its run with `sherdmark printed`."},
    ReasonRule{ReasonCode::retired_bag, "retired-bag", Verdict::stale,
        "Bag {bag} is retired; nothing should lie in it any more.",
        "Look up where its contents went, and put them there."},
    ReasonRule{ReasonCode::copies_not_in_force, "copies-not-in-force", Verdict::stale,
        "All bags together expect {expected} labels of {number}, but {live} are in force.",
        "Print and confirm the copies that are missing; until then some piece carries a label that is not in force."},
    ReasonRule{ReasonCode::no_copy_in_force, "no-copy-in-force", Verdict::stale,
        "Of the {label} no copy was ever made, or all that were are spoiled.",
        "Find out where this one came from; make the label with `sherdmark labels` and put it in its place."},

    ReasonRule{ReasonCode::nothing_seen, "nothing-seen", Verdict::incomplete,
        "No label of ours was seen.",
        "Check the picture: are the labels in it, sharp and not hidden?"},
    ReasonRule{ReasonCode::missing_bag_label, "missing-bag-label", Verdict::incomplete,
        "No readable bag label of one bag was seen.",
        "Put the bag with its label into the picture."},
    ReasonRule{ReasonCode::missing_tag, "missing-tag", Verdict::incomplete,
        "No readable tag of this bag was seen.",
        "Look for the tag within the bag; print a new one if it is lost."},
    ReasonRule{ReasonCode::missing_sheet, "missing-sheet", Verdict::incomplete,
        "The {role} of bag {bag} has {expected} sheets, but {seen} were seen.",
        "Put every sheet of it into the picture; print again what is void, and confirm what was printed."},
    ReasonRule{ReasonCode::missing_artifact, "missing-artifact", Verdict::incomplete,
        "Pieces labelled {number}: {expected} expected, {seen} seen.",
        "Look for what is missing in the bag; turn its label up for the picture."},
    ReasonRule{ReasonCode::nothing_recorded, "nothing-recorded", Verdict::incomplete,
        "Nothing is recorded as the contents of bag {bag}.",
        "Record what the bag holds."},
    ReasonRule{ReasonCode::pieces_short, "pieces-short", Verdict::incomplete,
        "{seen} pieces were counted, but bag {bag} is recorded with {expected}.",
        "Count again; then look for the missing pieces."},

    ReasonRule{ReasonCode::wrong_place, "wrong-place", Verdict::misplaced,
        "Bag {bag} was seen at {place}, but the ledger has it at {now}.",
        "Put it back, or record the move."},
    ReasonRule{ReasonCode::wrong_box, "wrong-box", Verdict::misplaced,
        "Bag {bag} was seen with box {place}, but the ledger has it in {now}.",
        "Put it back, or record the move."},
    ReasonRule{ReasonCode::lent_but_here, "lent-but-here", Verdict::misplaced,
        "Bag {bag} is recorded as lent, but it was seen here.",
        "Record its return first; where it lies counts from then on."},

    ReasonRule{ReasonCode::complete, "complete", Verdict::agree,
        "Everything that is required was read surely and belongs together.",
        ""},
    ReasonRule{ReasonCode::former_number, "former-number", Verdict::agree,
        "The {role} shows the former number {number}, which leads to {item} alone.",
        ""},
    ReasonRule{ReasonCode::removal_slip, "removal-slip", Verdict::agree,
        "A removal slip lies with the bag.",
        ""},
    ReasonRule{ReasonCode::item_status, "item-status", Verdict::agree,
        "The catalog says of {item}: {status}.",
        ""},
    ReasonRule{ReasonCode::count_not_compared, "count-not-compared", Verdict::agree,
        "The count of {seen} could not be compared: of something in bag {bag} no number of pieces is recorded.",
        ""},
};
// clang-format on

// Replaces each {name} of `sentence` by its value.
std::string fill_in(const ReasonRule& rule, std::string_view sentence, const ReasonValues& values) {
  std::string text;
  while (!sentence.empty()) {
    const auto open = sentence.find('{');
    text += sentence.substr(0, open);
    if (open == std::string_view::npos) break;
    const auto close = sentence.find('}', open);
    const std::string_view name = sentence.substr(open + 1, close - open - 1);
    const std::string* value = nullptr;
    for (const auto& [value_name, value_text] : values)
      if (value_name == name) value = &value_text;
    if (value == nullptr)
      throw internal_error("the reason \"" + std::string{rule.code} + "\" lacks a value for \"" + std::string{name} +
                           "\"");
    text += printable(*value);
    sentence.remove_prefix(close + 1);
  }
  return text;
}

}  // namespace

std::span<const ReasonRule> reason_rules() { return k_rules; }

const ReasonRule& reason_rule(ReasonCode id) {
  for (const ReasonRule& rule : k_rules)
    if (rule.id == id) return rule;
  throw internal_error("a reason code without a rule");
}

std::optional<ReasonRule> find_reason_rule(std::string_view code) {
  for (const ReasonRule& rule : k_rules)
    if (rule.code == code) return rule;
  return std::nullopt;
}

Reason make_reason(ReasonCode id, const ReasonValues& values) {
  const ReasonRule& rule = reason_rule(id);
  return {std::string{rule.code}, fill_in(rule, rule.sentence, values), rule.verdict};
}

}  // namespace sherdmark
