#include "sherdmark/verify/scan_session.h"

#include <algorithm>

#include "sherdmark/base/text.h"
#include "sherdmark/ledger/identity.h"
#include "sherdmark/verify/scan_hearing.h"
#include "verify/link_reading.h"

namespace sherdmark {

using hearing::not_read;
using hearing::say;

namespace {

constexpr std::string_view k_picture = "scan";  // all readings of a set stand in one picture
constexpr std::string_view k_place_word = "place ";

std::string shown(const Reading& reading) {
  if (reading.role == LabelRole::artifact) return printable(reading.number.value_or(""));
  std::string name = reading.bag && !reading.bag->empty() ? group_identity(*reading.bag) : std::string{};
  if (reading.number && !reading.number_is_opaque && *reading.number != reading.bag.value_or(""))
    name += (name.empty() ? "" : "  ") + printable(*reading.number);
  return name;
}

std::string what_of(const Reading& reading) {
  std::string role{to_text(reading.role)};
  return to_upper_ascii(role) + "  " + shown(reading);
}

Reading from_link(const LinkCode& link, const std::string& text) {
  Reading reading;
  fill_from_link(reading, link);
  reading.source = ReadingSource::qr;
  reading.image = k_picture;
  reading.text = text;
  return reading;
}

// A typed serial names one print; what else stands on its label is the record's.
Reading from_print(const PrintRecord& print, const std::string& text) {
  Reading reading;
  reading.sure = true;
  reading.role = print.role;
  reading.number = print.number;
  reading.serial = print.serial;
  reading.revision = print.revision;
  reading.ordinal = print.ordinal;
  reading.bag = print.subject;
  reading.source = ReadingSource::keyed;
  reading.image = k_picture;
  reading.text = text;
  return reading;
}

}  // namespace

ScanSession::ScanSession(const CollectionView& records, const HouseStandard& standard, PlaceOf place_of,
                         std::string name, KeyboardSetup keyboard)
    : records_(records),
      standard_(standard),
      place_of_(std::move(place_of)),
      name_(std::move(name)),
      keyboard_(std::move(keyboard)) {
  start_set();
}

void ScanSession::start_set() {
  set_ = {};
  set_.name = name_ + " set " + std::to_string(sets_ + 1);
  steps_.clear();
  told_.clear();
}

ScanFeedback ScanSession::hear(std::string_view line) {
  auto [feedback, heard] = hearing::hear(line, records_.collection_key(), keyboard_);
  if (!heard) return feedback;
  if (heard->how == Understood::other_layout)
    feedback.more.push_back(
        "The scanner types by another keyboard layout; its check characters made this one certain. "
        "Scan the set-up card once.");
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
      if (!awaits_place_ && !set_.readings.empty())
        return not_read(feedback, "FIRST FINISH THE BAG", "Scan NEXT, then this label; or PLACE before it.");
      const auto path = place_of_(link.subject);
      if (!path)
        return not_read(feedback, "NO SUCH PLACE", "The ledger has no place for this label. Nothing was changed.");
      return set_place(*path, std::move(feedback));
    }
  }
  return add_reading(from_link(link, feedback.heard), std::move(feedback));
}

ScanFeedback ScanSession::hear_action(ScanAction action, ScanFeedback feedback) {
  switch (action) {
    case ScanAction::next:
      return close_set(std::move(feedback));
    case ScanAction::undo:
      return undo(std::move(feedback));
    case ScanAction::place:
      awaits_place_ = true;
      return say(std::move(feedback), ScanSignal::fine, "PLACE?", "Now scan the label of the shelf or box.");
    case ScanAction::end:
      if (!set_.readings.empty()) feedback = close_set(std::move(feedback));
      feedback.ended = true;
      if (feedback.line.empty()) return say(std::move(feedback), ScanSignal::fine, "END");
      return feedback;
    case ScanAction::setup:
      break;
  }
  return not_read(feedback, "SET-UP CARD", "It was not read whole. Scan it once more.");
}

ScanFeedback ScanSession::hear_typed(const std::string& text, ScanFeedback feedback) {
  if (const auto action = parse_scan_action(to_upper_ascii(text)); action && *action != ScanAction::setup) {
    feedback.heard = to_text(*action);
    return hear_action(*action, std::move(feedback));
  }
  if (text == "+") return another(std::move(feedback));
  if (to_lower_ascii(text).starts_with(k_place_word))
    return set_place(std::string{trim(std::string_view{text}.substr(k_place_word.size()))}, std::move(feedback));
  if (const auto bag = parse_identity(IdentityKind::bag, text); bag && records_.find_bag(*bag))
    return not_read(feedback, "THE BAG'S ID IS NOT ENOUGH",
                    "Of a bag label or tag type the serial, the eight characters under its code.");
  std::string serial = to_upper_ascii(text);
  std::erase_if(serial, [](char c) { return c == '-' || c == ' '; });
  if (const auto print = serial.size() == 8 ? records_.find_print(serial) : std::nullopt) {
    if (print->role == LabelRole::artifact)
      return add_artifact(print->number, ReadingSource::keyed, std::move(feedback));
    return add_reading(from_print(*print, text), std::move(feedback));
  }
  if (const auto number = standard_.parse_number(text)) {
    if (number->number.level() == NumberLevel::item || number->number.level() == NumberLevel::piece)
      return add_artifact(number->number.text(), ReadingSource::keyed, std::move(feedback));
  }
  if (records_.find_number(text).meaning != NumberMeaning::unknown)
    return add_artifact(text, ReadingSource::keyed, std::move(feedback));
  return not_read(feedback, "NOT OURS", "\"" + printable(text) + "\" is no label and no number of this collection.");
}

ScanFeedback ScanSession::add_artifact(const std::string& number, ReadingSource source, ScanFeedback feedback) {
  for (const Reading& reading : set_.readings)
    if (reading.role == LabelRole::artifact && reading.number == number)
      return not_read(feedback, "SAME NUMBER AGAIN",
                      printable(number) +
                          " was heard before and counts once. If this is another piece with that "
                          "number, type +");
  Reading reading;
  reading.role = LabelRole::artifact;
  reading.sure = true;
  reading.number = number;
  reading.source = source;
  reading.image = k_picture;
  reading.text = feedback.heard;
  return add_reading(std::move(reading), std::move(feedback));
}

ScanFeedback ScanSession::another(ScanFeedback feedback) {
  if (set_.readings.empty() || set_.readings.back().role != LabelRole::artifact)
    return not_read(feedback, "ANOTHER OF WHAT?", "+ goes after the number of an artifact.");
  return add_reading(Reading{set_.readings.back()}, std::move(feedback));
}

ScanFeedback ScanSession::add_reading(Reading reading, ScanFeedback feedback) {
  if (reading.serial)
    for (const Reading& other : set_.readings)
      if (other.serial == reading.serial && other.role == reading.role && other.bag == reading.bag) {
        feedback.accepted = false;
        return say(std::move(feedback), ScanSignal::fine, "ALREADY HEARD  " + shown(reading),
                   "This very label is in the set already.");
      }
  awaits_place_ = false;
  feedback.bag = reading.bag.value_or("");
  const std::string what = what_of(reading);
  set_.readings.push_back(std::move(reading));
  steps_.push_back({true, {}});
  judge_so_far(feedback, what);
  return feedback;
}

// Says at once what more scans cannot put right; what is merely missing yet is fine. A finding is told once: a label
// that adds none is not blamed for an earlier one.
void ScanSession::judge_so_far(ScanFeedback& feedback, const std::string& what) {
  const SetVerdict so_far = judge_open_set();
  const bool bad = so_far.verdict != Verdict::agree && so_far.verdict != Verdict::incomplete;
  std::vector<std::string> fresh;
  for (const Reason& reason : so_far.reasons)
    if (bad && reason.verdict != Verdict::agree && reason.verdict != Verdict::incomplete &&
        std::ranges::find(told_, reason.text) == told_.end())
      fresh.push_back(reason.text);
  feedback.signal = fresh.empty() ? ScanSignal::fine : ScanSignal::finding;
  feedback.line = what + "   " + std::to_string(so_far.seen) + " of " + std::to_string(so_far.expected);
  if (so_far.verdict == Verdict::agree) feedback.line += "   COMPLETE";
  if (bad && fresh.empty()) feedback.line += "   a finding stands";
  if (!fresh.empty()) feedback.line = to_upper_ascii(to_text(so_far.verdict)) + ":  " + what;
  for (std::string& reason : fresh) {
    told_.push_back(reason);
    feedback.more.push_back(std::move(reason));
  }
}

SetVerdict ScanSession::judge_open_set() {
  if (place_.empty())
    set_.place_given.reset();
  else
    set_.place_given = place_;
  return judge(set_, records_, standard_);
}

ScanFeedback ScanSession::set_place(const std::string& path, ScanFeedback feedback) {
  if (path.empty()) return not_read(feedback, "WHICH PLACE?", "Type it from the outside in: place Room 2/Shelf 3");
  steps_.push_back({false, place_});
  place_ = path;
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
    return say(std::move(feedback), ScanSignal::fine, "UNDONE  place");
  }
  const std::string what = what_of(set_.readings.back());
  set_.readings.pop_back();
  const SetVerdict without = judge_open_set();
  std::erase_if(told_, [&](const std::string& text) {
    return std::ranges::find(without.reasons, text, &Reason::text) == without.reasons.end();
  });
  return say(std::move(feedback), ScanSignal::fine, "UNDONE  " + what);
}

ScanFeedback ScanSession::close_set(ScanFeedback feedback) {
  if (set_.readings.empty()) return not_read(feedback, "EMPTY SET", "Nothing was scanned since the last NEXT.");
  set_.images = {std::string{k_picture}};
  SetVerdict verdict = judge_open_set();
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
