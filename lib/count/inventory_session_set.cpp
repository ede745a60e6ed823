// The part of a session that builds sets: bag label, tag and what stands on the artifacts, one bag after the other.
#include <fmt/format.h>

#include <algorithm>

#include "sherdmark/base/text.h"
#include "sherdmark/count/inventory_session.h"
#include "sherdmark/verify/scan_hearing.h"
#include "sherdmark/verify/typed_label.h"
#include "sherdmark/verify/typed_number.h"

namespace sherdmark {

using hearing::not_read;
using hearing::say;

namespace {

constexpr std::string_view k_keyed = "number keyed";

// The inventory has words of its own for a stale label, a wrong place and a print without record.
bool is_the_sets(const Reason& reason) {
  return reason.verdict == Verdict::disagree || reason.verdict == Verdict::unreadable;
}

bool is_bad(const SetVerdict& verdict) {
  return verdict.verdict == Verdict::disagree || verdict.verdict == Verdict::unreadable;
}

std::string codes_of(const SetVerdict& verdict) {
  std::vector<std::string> codes;
  for (const Reason& reason : verdict.reasons)
    if (reason.verdict == verdict.verdict && std::ranges::find(codes, reason.code) == codes.end())
      codes.push_back(reason.code);
  return join(codes, " ");
}

void mark(InventoryReading& reading, const SetVerdict& verdict) {
  if (!is_bad(verdict)) return;
  reading.verdict = to_text(verdict.verdict);
  reading.reasons = codes_of(verdict);
}

std::string outcome(const SetVerdict& verdict) {
  std::string text{to_text(verdict.verdict)};
  if (verdict.verdict == Verdict::agree) return text + ".";
  text += ".";
  for (const Reason& reason : verdict.reasons)
    if (reason.verdict == verdict.verdict) text += " " + reason.text;
  return text;
}

}  // namespace

const std::string& InventorySession::bag_in_hand() const {
  static const std::string none;
  return set_.empty() ? none : set_.so_far().readings.front().bag.value();
}

// Labels of two kinds: several sheets of one bag label are still only its outside.
bool InventorySession::looked_into() const {
  const std::vector<Reading>& readings = set_.so_far().readings;
  return std::ranges::any_of(readings, [&](const Reading& one) { return one.role != readings.front().role; });
}

void InventorySession::begin_set() {
  set_.begin(fmt::format("{} set {}", group_identity(inventory_.id), ++set_number_));
}

bool InventorySession::holds(const std::string& number) const {
  for (const std::string& item : ledger_.find_number(number).items)
    for (const std::string& bag : ledger_.bags_of_item(item))
      if (bag == bag_in_hand()) return true;
  return false;
}

std::optional<Reading> InventorySession::label_of(const std::string& text, const LinkReading& code) const {
  const auto is_carrier = [](LabelRole role) { return role == LabelRole::bag || role == LabelRole::tag; };
  if (code.status == LinkStatus::ours && code.link && is_carrier(code.link->role) &&
      code.link->collection_key == ledger_.collection_key() && ledger_.find_bag(code.link->subject))
    return scanned_reading(*code.link, text);
  if (code.status != LinkStatus::foreign) return std::nullopt;
  const TypedPrint typed = typed_print(ledger_, text);
  if (typed.what == TypedLabel::label && is_carrier(typed.print->role) && ledger_.find_bag(typed.print->subject))
    return heard_reading(*typed.print, text);
  return std::nullopt;
}

// A reading that names a bag; `label`, when it is of a label that can stand in a set.
ScanFeedback InventorySession::hear_bag(InventoryReading reading, std::optional<Reading> label, ScanFeedback feedback) {
  const bool of_this_bag = reading.bag == bag_in_hand();
  const bool lies_in_it = label && !set_.empty() && label->role != set_.so_far().readings.front().role;
  if (!set_.empty() && !of_this_bag && !lies_in_it) finish_set(feedback);
  const bool first = set_.empty();
  if (first || of_this_bag) last_bag_ = reading;
  const std::size_t steps = steps_.size();
  feedback = take(std::move(reading), std::move(feedback));
  if (!label || set_.has_print(*label)) return feedback;
  if (steps_.size() == steps) {
    Step step;
    step.kind = StepKind::joined;
    step.reading.bag = feedback.bag;
    steps_.push_back(std::move(step));
  }
  steps_.back().set = set_number_;
  return join(std::move(*label), first, std::move(feedback));
}

// Into the set; the ledger has it already.
ScanFeedback InventorySession::join(Reading label, bool first, ScanFeedback feedback) {
  const std::string what = label_words(label);
  const bool of_another_bag = label.bag && *label.bag != bag_in_hand() && !first;
  set_.add(std::move(label));
  ScanSet::Judged judged = set_.judge_so_far(place_);
  const bool told = feedback.signal == ScanSignal::finding;
  std::erase_if(judged.fresh, [&](const Reason& reason) {
    return !is_the_sets(reason) || (told && reason.code == "duplicate-label");
  });
  if (judged.fresh.empty()) {
    if (!first && !told && feedback.accepted)
      feedback.line =
          what + "   " + judged.progress() + (is_bad(judged.verdict) ? "   a finding stands" : std::string{});
    return feedback;
  }
  for (const Reason& reason : judged.fresh) feedback.more.push_back(reason.text);
  if (of_another_bag)
    feedback.more.emplace_back("If it is the label of the next bag: UNDO, then NEXT, then scan it again.");
  steps_.back().finding = found_anything_ = true;
  return say(std::move(feedback), ScanSignal::finding, to_upper_ascii(to_text(judged.verdict.verdict)) + ":  " + what);
}

ScanFeedback InventorySession::hear_artifact(const std::string& number, ReadingSource source, bool another,
                                             ScanFeedback feedback) {
  if (set_.has_artifact(number) && !another)
    return not_read(
        feedback, "SAME NUMBER AGAIN",
        printable(number) + " was heard before and counts once. If this is another piece with that number, type +");
  Step step;
  step.set = set_number_;
  step.reading.kind = SeenKind::typed;
  step.reading.text = number;
  step.reading.bag = bag_in_hand();
  step.reading.place = place_;
  step.reading.box = box_;
  step.reading.evidence = k_keyed;
  ScanSet with = set_;
  with.add(artifact_reading(number, source, feedback.heard));
  mark(step.reading, with.close(place_));
  (void)take_in(ledger_, actor_, inventory_.id, std::span{&step.reading, 1}, "handheld scanner");
  feedback.bag = step.reading.bag;
  steps_.push_back(std::move(step));
  Reading label = artifact_reading(number, source, feedback.heard);
  return join(std::move(label), false, std::move(feedback));
}

// What stands on an artifact, while its bag is in hand.
ScanFeedback InventorySession::hear_inside(const std::string& text, ScanFeedback feedback) {
  const TypedNumber typed = typed_number(ledger_, ledger_.standard(), text);
  if (typed.sense != TypedSense::number)
    return not_read(feedback, typed.sense == TypedSense::none ? "NOT OURS" : "WHICH NUMBER?",
                    typed_number_problem(typed, text));
  return hear_artifact(typed.number, ReadingSource::keyed, false, std::move(feedback));
}

// Judges what is in hand, when the bag was looked into, and keeps what came of it.
void InventorySession::finish_set(ScanFeedback& feedback) {
  if (!looked_into()) return begin_set();
  Step step;
  step.kind = StepKind::judged;
  step.set = set_number_;
  step.set_before = set_;
  SetVerdict verdict = set_.close(place_);
  step.reading.kind = SeenKind::typed;
  step.reading.text = set_.so_far().name;
  step.reading.bag = bag_in_hand();
  step.reading.place = place_;
  step.reading.box = box_;
  step.reading.evidence = to_text(verdict.evidence);
  step.finding = is_bad(verdict);
  mark(step.reading, verdict);
  keep_verdict_(verdict);
  (void)take_in(ledger_, actor_, inventory_.id, std::span{&step.reading, 1}, "handheld scanner");
  feedback.more.push_back(fmt::format("The bag before, {}: {}", group_identity(bag_in_hand()), outcome(verdict)));
  feedback.verdict = std::move(verdict);
  found_anything_ = found_anything_ || step.finding;
  steps_.push_back(std::move(step));
  begin_set();
}

ScanFeedback InventorySession::next(ScanFeedback feedback) {
  const std::string bag = bag_in_hand();
  if (!looked_into()) {
    begin_set();
    return say(std::move(feedback), ScanSignal::fine, "NEXT",
               bag.empty() ? "Nothing is open: scan the next bag." : "Scan the next bag.");
  }
  finish_set(feedback);
  feedback.bag = bag;
  feedback.more.pop_back();
  for (const Reason& reason : feedback.verdict->reasons)
    if (reason.verdict == feedback.verdict->verdict) feedback.more.push_back(reason.text);
  feedback.more.push_back(not_tested(*feedback.verdict));
  const Verdict verdict = feedback.verdict->verdict;
  return say(std::move(feedback), verdict == Verdict::agree ? ScanSignal::fine : ScanSignal::finding,
             to_upper_ascii(to_text(verdict)) + "  " + group_identity(bag));
}

ScanFeedback InventorySession::end(ScanFeedback feedback) {
  finish_set(feedback);
  feedback.ended = true;
  return say(std::move(feedback), ScanSignal::fine, "END   " + progress_words(),
             "The inventory stays open. Go on whenever you like.");
}

ScanFeedback InventorySession::undo_judged(Step step, ScanFeedback feedback) {
  set_ = std::move(step.set_before.value());
  set_number_ = step.set;
  feedback.bag = bag_in_hand();
  const std::string bag = group_identity(bag_in_hand());
  return say(std::move(feedback), ScanSignal::fine, "UNDONE  NEXT",
             fmt::format("{} is in hand again; its verdict stays in its history.", bag));
}

}  // namespace sherdmark
