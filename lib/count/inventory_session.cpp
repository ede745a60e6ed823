#include "sherdmark/count/inventory_session.h"

#include <fmt/format.h>

#include <algorithm>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/code/cards.h"
#include "sherdmark/count/inventory.h"
#include "sherdmark/count/inventory_readings.h"
#include "sherdmark/verify/scan_hearing.h"
#include "sherdmark/verify/typed_number.h"

namespace sherdmark {

using hearing::not_read;
using hearing::say;

namespace {

// What the whole inventory would say of this bag: by the same rules as its report.
InventoryLine line_of(const InventorySight& sight) {
  bool expected_left = sight.expected.has_value();
  auto next_seen = sight.seen.begin();
  InventoryLine told;
  (void)reconcile(
      [&](ExpectedBag& bag) {
        if (!expected_left) return false;
        bag = *sight.expected;
        expected_left = false;
        return true;
      },
      [&](SeenReading& reading) {
        if (next_seen == sight.seen.end()) return false;
        reading = *next_seen++;
        return true;
      },
      [&](const InventoryLine& line) { told = line; });
  return told;
}

bool knows(const InventoryLine& line, const FoundFinding& found) {
  return std::ranges::any_of(line.findings, [&](const FoundFinding& known) {
    return known.finding == found.finding && known.text == found.text;
  });
}

bool is_word(std::string_view text, std::string_view word) {
  return text.size() > word.size() && to_lower_ascii(text.substr(0, word.size())) == word && text[word.size()] == ' ';
}

bool wanted(const InventorySight& sight) { return sight.expected && sight.expected->exempt.empty(); }

std::string sentence_of(const FoundFinding& found, const InventorySight& sight) {
  std::string text{to_text(found.finding)};
  text.front() = static_cast<char>(to_upper_ascii(text.substr(0, 1)).front());
  text += found.text.empty() ? "." : ": " + found.text;
  if (found.finding == Finding::seen_elsewhere && sight.expected) {
    const std::string& home = sight.expected->place.empty() ? sight.expected->box : sight.expected->place;
    text += " It belongs at " + printable(home) + ".";
  }
  return text;
}

}  // namespace

InventorySession::InventorySession(Ledger& ledger, Actor actor, const InventoryRecord& inventory,
                                   KeyboardSetup keyboard, KeepVerdict keep_verdict, const std::string& place,
                                   const std::string& box)
    : ledger_(ledger),
      actor_(std::move(actor)),
      inventory_(inventory),
      keyboard_(std::move(keyboard)),
      place_(place),
      box_(box),
      place_said_(!place.empty() || !box.empty()),
      keep_verdict_(std::move(keep_verdict)),
      set_(ledger, ledger.standard()),
      all_(progress_at(ledger, inventory.id, {})) {
  begin_set();
  if (!box_.empty()) set_.come_from(typed_box_reading(box_));
  require_open(inventory);
  if (!place_.empty()) here_ = progress_at(ledger_, inventory_.id, place_);
}

ScanFeedback InventorySession::hear(std::string_view line) {
  const std::string key = ledger_.collection_key();
  auto [feedback, heard] = hearing::hear(line, key, keyboard_);
  if (!heard) return feedback;
  const LinkReading& reading = heard->reading;
  const std::string& text = heard->text;
  if (reading.status == LinkStatus::ours) {
    if (reading.micro && !set_.empty()) {
      const bool matrix = ledger_.standard().artifact.micro_code == MicroCode::data_matrix;
      return hear_artifact(reading.micro->number, matrix ? ReadingSource::data_matrix : ReadingSource::micro_qr, false,
                           std::move(feedback));
    }
    if (reading.micro) return hear_line(reading.micro->number, std::move(feedback));
    if (reading.link->collection_key == key)
      if (const auto action = action_of(*reading.link)) return hear_action(*action, std::move(feedback));
    return hear_line(text, std::move(feedback));
  }
  if (const auto action = parse_scan_action(to_upper_ascii(text)); action && *action != ScanAction::setup)
    return hear_action(*action, std::move(feedback));
  return hear_typed(text, std::move(feedback));
}

ScanFeedback InventorySession::hear_typed(const std::string& text, ScanFeedback feedback) {
  if (const auto told = hearing::told_to_stop_or_help(
          text, feedback,
          "Scan or type: a shelf or box, then bag after bag; a number to add what lies in one; count 12; + for another "
          "of the same; found and what it is, for a thing without a label; NEXT; UNDO; PLACE; END."))
    return *told;
  if (is_word(text, "found")) return hear_line("unlabelled" + text.substr(5), std::move(feedback));
  if (text == "+" || is_word(text, "inside")) {
    if (set_.empty())
      return not_read(feedback, "INSIDE WHAT?", "Scan the label of the bag first, then what lies in it.");
    if (text != "+") return hear_inside(std::string{trim(std::string_view{text}.substr(7))}, std::move(feedback));
    const Reading last = set_.so_far().readings.back();
    if (last.role != LabelRole::artifact)
      return not_read(feedback, "ANOTHER OF WHAT?", "+ goes after the number of an artifact.");
    return hear_artifact(*last.number, last.source, true, std::move(feedback));
  }
  if (set_.empty()) return hear_line(text, std::move(feedback));
  const TypedNumber typed = typed_number(ledger_, ledger_.standard(), text);
  if (typed.sense == TypedSense::wrong_check || typed.sense == TypedSense::needs_check)
    return not_read(feedback, "WHICH NUMBER?", typed_number_problem(typed, text));
  const std::string& number = typed.number;
  if (typed.sense == TypedSense::none || ledger_.find_number(number).meaning == NumberMeaning::unknown)
    return hear_line(text, std::move(feedback));
  if (holds(number)) return hear_artifact(number, ReadingSource::keyed, false, std::move(feedback));
  return not_read(feedback, "WHICH BAG?",
                  fmt::format("{0} is not recorded in {1}. If it lies in it, type: inside {0}   If it is the next bag, "
                              "NEXT first.",
                              printable(number), group_identity(bag_in_hand())));
}

ScanFeedback InventorySession::hear_action(ScanAction action, ScanFeedback feedback) {
  switch (action) {
    case ScanAction::next:
      return next(std::move(feedback));
    case ScanAction::undo:
      return undo(std::move(feedback));
    case ScanAction::place:
      awaits_place_ = true;
      return say(std::move(feedback), ScanSignal::fine, "PLACE?", "Now scan the label of the shelf or box.");
    case ScanAction::end:
      return end(std::move(feedback));
    case ScanAction::setup:
      break;
  }
  return not_read(feedback, "SET-UP CARD", "It was not read whole. Scan it once more.");
}

ScanFeedback InventorySession::hear_line(const std::string& text, ScanFeedback feedback) {
  if (is_word(text, "count")) return count_pieces(text, std::move(feedback));
  InventoryLines lines = read_inventory_lines(text, ledger_, place_, box_);
  if (!lines.problems.empty()) {
    const InventoryLineProblem& problem = lines.problems.front();
    return not_read(feedback, "NOT UNDERSTOOD", fmt::format("{}: {}; {}.", problem.text, problem.what, problem.remedy));
  }
  if (lines.readings.empty()) {
    if (!lines.notes.empty()) return not_read(feedback, "NOT OURS", lines.notes.front());
    const HeardCode code = understand(text, ledger_.collection_key(), {});
    const bool divider = code.reading.link && code.reading.link->role == LabelRole::divider;
    std::optional<Reading> box;
    if (code.reading.link && code.reading.link->role == LabelRole::box) box = scanned_reading(*code.reading.link, text);
    if (!divider && !text.starts_with('#')) return go_to(lines.place, lines.box, std::move(box), std::move(feedback));
    return not_read(feedback, "NOTHING TO COUNT", "Scan the label of a bag, a shelf or a box.");
  }
  InventoryReading& reading = lines.readings.front();
  if (awaits_place_)
    return not_read(feedback, "PLACE?", "This is no shelf and no box. Scan the label of one, or UNDO.");
  if (!place_said_)
    return not_read(
        feedback, "WHERE ARE YOU?",
        "First scan the label of the shelf or box, or type \"place Room 2/Shelf 3\" (\"place -\" for none).");
  const LinkReading code = understand(text, ledger_.collection_key(), {}).reading;
  if (reading.kind == SeenKind::unknown && code.status != LinkStatus::ours && !ledger_.standard().parse_number(text))
    return not_read(feedback, "NOT OURS", "\"" + printable(text) + "\" is no label and no number of this collection.");
  if (reading.kind == SeenKind::unread)
    return not_read(feedback, "WHICH BAG?", printable(reading.text) + ". Scan its label, or type the bag's id.");
  if (reading.bag.empty()) return take(std::move(reading), std::move(feedback));
  return hear_bag(std::move(reading), label_of(text, code), std::move(feedback));
}

ScanFeedback InventorySession::go_to(const std::string& place, const std::string& box, std::optional<Reading> label,
                                     ScanFeedback feedback) {
  finish_set(feedback);
  last_bag_ = {};
  Step step;
  step.kind = StepKind::place;
  step.place = place_;
  step.box = box_;
  step.box_label = set_.box();
  step.place_said = place_said_;
  steps_.push_back(std::move(step));
  place_ = place;
  box_ = box;
  if (!label && !box_.empty()) label = typed_box_reading(box_);
  set_.come_from(std::move(label));
  place_said_ = true;
  awaits_place_ = false;
  here_ = place_.empty() ? InventoryProgress{} : progress_at(ledger_, inventory_.id, place_);
  if (!box_.empty()) return say(std::move(feedback), ScanSignal::fine, "BOX  " + printable(box_));
  if (place_.empty())
    return say(std::move(feedback), ScanSignal::fine, "NO PLACE", "Bags now count as seen, place not said.");
  return say(std::move(feedback), ScanSignal::fine, "PLACE  " + printable(place_),
             fmt::format("{} of {} bags that belong here are seen.", here_.seen, here_.wanted));
}

ScanFeedback InventorySession::count_pieces(const std::string& text, ScanFeedback feedback) {
  const auto count = parse_integer(trim(std::string_view{text}.substr(5)));
  if (!count || *count < 0) return not_read(feedback, "NOT A COUNT", "Type it like: count 12");
  if (last_bag_.bag.empty()) return not_read(feedback, "COUNT OF WHAT?", "Scan the bag first, then type its count.");
  InventoryReading reading = last_bag_;
  reading.count = *count;
  reading.evidence = to_text(Evidence::opened_and_counted);
  const bool of_the_set = reading.bag == bag_in_hand();
  const std::optional<std::int64_t> before = set_.so_far().counted_pieces;
  if (of_the_set) set_.count(*count);
  feedback = take(std::move(reading), std::move(feedback));  // a count is always a step of its own
  steps_.back().counted_set = of_the_set;
  steps_.back().count_before = before;
  return feedback;
}

// Into the ledger first; then what came of it.
ScanFeedback InventorySession::take(InventoryReading reading, ScanFeedback feedback) {
  feedback.bag = reading.bag;
  const InventorySight before = reading.bag.empty() ? InventorySight{} : sight_of(ledger_, inventory_.id, reading.bag);
  const bool heard_here = !reading.count && std::ranges::any_of(before.seen, [&](const SeenReading& seen) {
    return seen.kind == reading.kind && seen.serial == reading.serial && seen.place == reading.place &&
           seen.box == reading.box;
  });
  if (heard_here) {
    feedback.accepted = false;
    return say(std::move(feedback), ScanSignal::fine, "SEEN ALREADY  " + group_identity(reading.bag),
               "This very label was scanned here before. It counts once.");
  }
  const TakenIn taken = take_in(ledger_, actor_, inventory_.id, std::span{&reading, 1}, "handheld scanner");
  Step step;
  step.first_sight = wanted(before) && before.seen.empty();
  if (!reading.bag.empty()) {
    feedback = tell_bag(reading, before, std::move(feedback));
  } else if (!taken.found_numbers.empty()) {
    const std::string& number = taken.found_numbers.front();
    feedback = say(std::move(feedback), ScanSignal::finding, "FOUND  " + number,
                   "Put the label " + number + " with it. It stays open until somebody says what it is.");
    reading.text = number + ": " + reading.text;
  } else {
    feedback = say(std::move(feedback), ScanSignal::finding, "NO RECORD",
                   "Written down: " + printable(reading.text) + ". If it was a slip, UNDO.");
  }
  step.reading = std::move(reading);
  step.finding = feedback.signal == ScanSignal::finding;
  found_anything_ = found_anything_ || step.finding;
  steps_.push_back(std::move(step));
  return feedback;
}

ScanFeedback InventorySession::tell_bag(const InventoryReading& reading, const InventorySight& before,
                                        ScanFeedback feedback) {
  const InventorySight after = sight_of(ledger_, inventory_.id, reading.bag);
  const InventoryLine line = line_of(after);
  const InventoryLine line_before = before.seen.empty() ? InventoryLine{} : line_of(before);
  if (wanted(before) && before.seen.empty()) {
    ++all_.seen;
    if (!place_.empty() && (before.expected->place == place_ || before.expected->place.starts_with(place_ + "/")))
      ++here_.seen;
  }
  const std::string number = bag_words(ledger_, reading.bag, inventory_.opened).number;
  std::string name = group_identity(reading.bag) + (number.empty() ? "" : "  " + printable(number));
  std::string head;
  for (const FoundFinding& found : line.findings) {
    if (knows(line_before, found)) continue;
    if (head.empty()) head = to_upper_ascii(std::string{to_text(found.finding)});
    feedback.more.push_back(sentence_of(found, after));
  }
  if (!head.empty()) return say(std::move(feedback), ScanSignal::finding, head + ":  " + name);
  name += reading.count ? fmt::format("   {} counted", *reading.count) : "   " + progress_words();
  return say(std::move(feedback), ScanSignal::fine, "SEEN  " + name);
}

ScanFeedback InventorySession::undo(ScanFeedback feedback) {
  if (awaits_place_) {
    awaits_place_ = false;
    return say(std::move(feedback), ScanSignal::fine, "UNDONE  PLACE?");
  }
  if (steps_.empty())
    return not_read(feedback, "NOTHING TO UNDO", "Only scans since this session began can be taken back.");
  const Step step = steps_.back();
  if (step.kind == StepKind::place) return undo_place(step, std::move(feedback));
  if (step.kind != StepKind::joined) take_back(ledger_, actor_, inventory_.id, step.reading);
  steps_.pop_back();
  found_anything_ = std::ranges::any_of(steps_, &Step::finding);
  if (step.kind == StepKind::judged) return undo_judged(step, std::move(feedback));
  std::string what = step.reading.bag.empty() ? printable(step.reading.text) : group_identity(step.reading.bag);
  if (step.counted_set) set_.count(step.count_before);
  if (step.set == set_number_ && !set_.empty()) what = label_words(set_.take_back(place_));
  if (step.reading.bag == last_bag_.bag && !step.reading.count && set_.empty()) last_bag_ = {};
  if (step.first_sight) {
    --all_.seen;
    if (!place_.empty()) here_ = progress_at(ledger_, inventory_.id, place_);
  }
  feedback.bag = step.reading.bag;
  return say(std::move(feedback), ScanSignal::fine, "UNDONE  " + what);
}

ScanFeedback InventorySession::undo_place(const Step& step, ScanFeedback feedback) {
  steps_.pop_back();
  place_ = step.place;
  box_ = step.box;
  set_.come_from(step.box_label);
  place_said_ = step.place_said;
  here_ = place_.empty() ? InventoryProgress{} : progress_at(ledger_, inventory_.id, place_);
  return say(std::move(feedback), ScanSignal::fine,
             place_said_ ? "UNDONE  back at " + printable(!box_.empty()    ? box_
                                                          : place_.empty() ? "no place"
                                                                           : place_)
                         : "UNDONE  place");
}

std::string InventorySession::progress_words() const {
  if (here_.wanted > 0)
    return fmt::format("{} of {} here, {} of {} in all", here_.seen, here_.wanted, all_.seen, all_.wanted);
  return fmt::format("{} of {}", all_.seen, all_.wanted);
}

}  // namespace sherdmark
