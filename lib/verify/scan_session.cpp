#include "sherdmark/verify/scan_session.h"

#include "sherdmark/base/text.h"
#include "sherdmark/ledger/identity.h"
#include "sherdmark/verify/scan_hearing.h"
#include "sherdmark/verify/typed_label.h"
#include "sherdmark/verify/typed_number.h"

namespace sherdmark {

using hearing::not_read;
using hearing::say;

namespace {

constexpr std::string_view k_place_word = "place ";
constexpr std::string_view k_both =
    "Of a bag label or tag type both on one line: the serial behind \"print\" at its foot, and the bag's id.";

}  // namespace

ScanSession::ScanSession(const CollectionView& records, const HouseStandard& standard, PlaceOf place_of,
                         std::string name, KeyboardSetup keyboard)
    : records_(records),
      standard_(standard),
      place_of_(std::move(place_of)),
      name_(std::move(name)),
      keyboard_(std::move(keyboard)),
      set_(records, standard) {
  start_set();
}

void ScanSession::start_set() {
  set_.begin(name_ + " set " + std::to_string(sets_ + 1));
  steps_.clear();
}

ScanFeedback ScanSession::hear(std::string_view line) {
  auto [feedback, heard] = hearing::hear(line, records_.collection_key(), keyboard_);
  if (!heard) return feedback;
  const LinkReading& reading = heard->reading;
  if (reading.status == LinkStatus::foreign) return hear_typed(heard->text, std::move(feedback));
  if (!reading.micro) return hear_link(*reading.link, std::move(feedback));
  const bool matrix = standard_.artifact.micro_code == MicroCode::data_matrix;
  return add_artifact(reading.micro->number, matrix ? ReadingSource::data_matrix : ReadingSource::micro_qr,
                      std::move(feedback));
}

ScanFeedback ScanSession::hear_link(const LinkCode& link, ScanFeedback feedback) {
  if (link.collection_key == records_.collection_key()) {
    if (const auto action = action_of(link)) return hear_action(*action, std::move(feedback));
    if (link.role == LabelRole::action)
      return not_read(feedback, "UNKNOWN CARD", "This action card belongs to a newer deck; nothing was done.");
    if (link.role == LabelRole::divider)
      return not_read(feedback, "A DIVIDER", "Dividers are for pictures; between bags scan the card NEXT.");
    if (link.role == LabelRole::shelf || link.role == LabelRole::box) {
      if (!set_.empty()) return first_finish(std::move(feedback));
      const auto path = place_of_(link.subject);
      if (!path)
        return not_read(feedback, "NO SUCH PLACE", "The ledger has no place for this label. Nothing was changed.");
      std::optional<Reading> box;
      if (link.role == LabelRole::box) box = scanned_reading(link, feedback.heard);
      return set_place(*path, std::move(box), std::move(feedback));
    }
  }
  if (link.role == LabelRole::action || link.role == LabelRole::divider)
    return not_read(feedback, "NOT OURS", "This card is another collection's; nothing was done.");
  Reading label = scanned_reading(link, feedback.heard);
  return add_reading(std::move(label), std::move(feedback));
}

ScanFeedback ScanSession::hear_action(ScanAction action, ScanFeedback feedback) {
  switch (action) {
    case ScanAction::next:
      return close_set(std::move(feedback));
    case ScanAction::undo:
      return undo(std::move(feedback));
    case ScanAction::place:
      if (!set_.empty()) return first_finish(std::move(feedback));
      awaits_place_ = true;
      return say(std::move(feedback), ScanSignal::fine, "PLACE?", "Now scan the label of the shelf or box.");
    case ScanAction::end:
      if (!set_.empty()) feedback = close_set(std::move(feedback));
      feedback.ended = true;
      if (feedback.line.empty()) return say(std::move(feedback), ScanSignal::fine, "END");
      return feedback;
    case ScanAction::setup:
      break;
  }
  return not_read(feedback, "SET-UP CARD", "It was not read whole. Scan it once more.");
}

ScanFeedback ScanSession::hear_typed(const std::string& text, ScanFeedback feedback) {
  if (const auto told = hearing::told_to_stop_or_help(
          text, feedback,
          "Scan the labels of one bag, or type an artifact's number, or a label's serial and its bag's id; + for "
          "another "
          "piece with the same number; NEXT between bags; UNDO; place Room 2/Shelf 3; END."))
    return *told;
  if (const auto action = parse_scan_action(to_upper_ascii(text)); action && *action != ScanAction::setup) {
    feedback.heard = to_text(*action);
    return hear_action(*action, std::move(feedback));
  }
  if (text == "+") return another(std::move(feedback));
  if (to_lower_ascii(text).starts_with(k_place_word))
    return set_place(std::string{trim(std::string_view{text}.substr(k_place_word.size()))}, {}, std::move(feedback));
  if (const auto bag = parse_identity(IdentityKind::bag, text); bag && records_.find_bag(*bag))
    return not_read(feedback, "THE BAG'S ID IS NOT ENOUGH", std::string{k_both});
  const TypedPrint typed = typed_print(records_, text);
  if (typed.what == TypedLabel::label) return add_reading(heard_reading(*typed.print, text), std::move(feedback));
  if (typed.what == TypedLabel::serial_alone && typed.print)
    return not_read(feedback, "THE SERIAL IS NOT ENOUGH", std::string{k_both});
  const TypedNumber number = typed_number(records_, standard_, text);
  if (number.sense == TypedSense::number) return add_artifact(number.number, ReadingSource::keyed, std::move(feedback));
  if (number.sense != TypedSense::none) return not_read(feedback, "WHICH NUMBER?", typed_number_problem(number, text));
  if (typed.what == TypedLabel::not_together)
    return not_read(feedback, "NOT ONE LABEL",
                    "This serial and this bag id do not stand on one label that was printed here. Look at both again.");
  return not_read(feedback, "NOT OURS", "\"" + printable(text) + "\" is no label and no number of this collection.");
}

ScanFeedback ScanSession::add_artifact(const std::string& number, ReadingSource source, ScanFeedback feedback) {
  if (set_.has_artifact(number))
    return not_read(
        feedback, "SAME NUMBER AGAIN",
        printable(number) + " was heard before and counts once. If this is another piece with that number, type +");
  Reading reading = artifact_reading(number, source, feedback.heard);
  return add_reading(std::move(reading), std::move(feedback));
}

ScanFeedback ScanSession::another(ScanFeedback feedback) {
  if (set_.empty() || set_.so_far().readings.back().role != LabelRole::artifact)
    return not_read(feedback, "ANOTHER OF WHAT?", "+ goes after the number of an artifact.");
  return add_reading(Reading{set_.so_far().readings.back()}, std::move(feedback));
}

ScanFeedback ScanSession::add_reading(Reading reading, ScanFeedback feedback) {
  if (set_.has_print(reading)) {
    feedback.accepted = false;
    return say(std::move(feedback), ScanSignal::fine, "ALREADY HEARD  " + label_words(reading),
               "This very label is in the set already.");
  }
  awaits_place_ = false;
  feedback.bag = reading.bag.value_or("");
  const std::string what = label_words(reading);
  set_.add(std::move(reading));
  steps_.push_back({true, {}, {}});
  judge_so_far(feedback, what);
  return feedback;
}

// Says at once what more scans cannot put right; what is merely missing yet is fine.
void ScanSession::judge_so_far(ScanFeedback& feedback, const std::string& what) {
  const ScanSet::Judged judged = set_.judge_so_far(place_);
  feedback.signal = judged.fresh.empty() ? ScanSignal::fine : ScanSignal::finding;
  feedback.line = what + "   " + judged.progress();
  if (judged.bad() && judged.fresh.empty()) feedback.line += "   a finding stands";
  if (!judged.fresh.empty()) feedback.line = to_upper_ascii(to_text(judged.verdict.verdict)) + ":  " + what;
  for (const Reason& reason : judged.fresh) feedback.more.push_back(reason.text);
}

// A bag that was begun at one place is judged there: another place is for the next one.
ScanFeedback ScanSession::first_finish(ScanFeedback feedback) {
  return not_read(std::move(feedback), "FIRST FINISH THE BAG",
                  "A place is for the bags after it. Scan NEXT, then the place; or UNDO this bag's labels.");
}

ScanFeedback ScanSession::set_place(const std::string& path, std::optional<Reading> box, ScanFeedback feedback) {
  if (!set_.empty()) return first_finish(std::move(feedback));
  if (path.empty()) return not_read(feedback, "WHICH PLACE?", "Type it from the outside in: place Room 2/Shelf 3");
  steps_.push_back({false, place_, set_.box()});
  place_ = path;
  set_.come_from(std::move(box));
  awaits_place_ = false;
  return say(std::move(feedback), ScanSignal::fine, "PLACE  " + printable(path),
             "The following bags are looked for here.");
}

ScanFeedback ScanSession::undo(ScanFeedback feedback) {
  if (awaits_place_) {
    awaits_place_ = false;
    return say(std::move(feedback), ScanSignal::fine, "UNDONE  PLACE?");
  }
  if (steps_.empty())
    return not_read(feedback, "NOTHING TO UNDO",
                    "The set before this one is closed; scan its labels again if need be.");
  const Step step = steps_.back();
  steps_.pop_back();
  if (!step.was_reading) {
    place_ = step.place_before;
    set_.come_from(step.box_before);
    return say(std::move(feedback), ScanSignal::fine, "UNDONE  place");
  }
  const std::string what = label_words(set_.take_back(place_));
  return say(std::move(feedback), ScanSignal::fine, "UNDONE  " + what);
}

ScanFeedback ScanSession::close_set(ScanFeedback feedback) {
  if (set_.empty()) return not_read(feedback, "EMPTY SET", "Nothing was scanned since the last NEXT.");
  SetVerdict verdict = set_.close(place_);
  feedback.bag = verdict.bag.value_or("");
  feedback.signal = verdict.verdict == Verdict::agree ? ScanSignal::fine : ScanSignal::finding;
  feedback.line = to_upper_ascii(to_text(verdict.verdict));
  if (verdict.bag) feedback.line += "  " + group_identity(*verdict.bag);
  for (const Reason& reason : verdict.reasons)
    if (reason.verdict == verdict.verdict) feedback.more.push_back(reason.text);
  feedback.more.push_back(not_tested(verdict));
  feedback.verdict = std::move(verdict);
  ++sets_;
  start_set();
  return feedback;
}

}  // namespace sherdmark
