#include "sherdmark/verify/scan_set.h"

#include <algorithm>

#include "sherdmark/base/text.h"
#include "sherdmark/ledger/identity.h"
#include "sherdmark/verify/typed_label.h"
#include "verify/link_reading.h"
#include "verify/merge.h"

namespace sherdmark {
namespace {

constexpr std::string_view k_picture = "scan";  // all readings of a set stand in one picture

bool is_finding(Verdict verdict) { return verdict != Verdict::agree && verdict != Verdict::incomplete; }

std::string shown(const Reading& reading) {
  if (reading.role == LabelRole::artifact) return printable(reading.number.value_or(""));
  std::string name = reading.bag && !reading.bag->empty() ? group_identity(*reading.bag) : std::string{};
  if (reading.number && !reading.number_is_opaque && *reading.number != reading.bag.value_or(""))
    name += (name.empty() ? "" : "  ") + printable(*reading.number);
  return name;
}

}  // namespace

Reading scanned_reading(const LinkCode& link, const std::string& text) {
  Reading reading;
  fill_from_link(reading, link);
  reading.source = ReadingSource::qr;
  reading.image = k_picture;
  reading.text = text;
  return reading;
}

Reading heard_reading(const PrintRecord& print, const std::string& text) {
  Reading reading = typed_reading(print, text);
  reading.image = k_picture;
  return reading;
}

Reading artifact_reading(const std::string& number, ReadingSource source, const std::string& text) {
  Reading reading;
  reading.role = LabelRole::artifact;
  reading.sure = true;
  reading.number = number;
  reading.source = source;
  reading.image = k_picture;
  reading.text = text;
  return reading;
}

Reading typed_box_reading(const std::string& name) {
  Reading reading;
  reading.role = LabelRole::box;
  reading.sure = true;
  reading.number = name;
  reading.source = ReadingSource::keyed;
  reading.image = k_picture;
  reading.text = name;
  return reading;
}

std::string label_words(const Reading& reading) {
  return to_upper_ascii(std::string{to_text(reading.role)}) + "  " + shown(reading);
}

void ScanSet::begin(std::string name) {
  set_ = {};
  set_.name = std::move(name);
  told_.clear();
}

bool ScanSet::has_print(const Reading& reading) const {
  return reading.serial && std::ranges::any_of(set_.readings, [&](const Reading& other) {
           return other.serial == reading.serial && !contradict(other, reading);
         });
}

bool ScanSet::has_artifact(const std::string& number) const {
  return std::ranges::any_of(set_.readings, [&](const Reading& reading) {
    return reading.role == LabelRole::artifact && reading.number == number;
  });
}

void ScanSet::count(std::optional<std::int64_t> pieces) {
  set_.opened_and_counted = pieces.has_value();
  set_.counted_pieces = pieces;
}

Reading ScanSet::take_back(const std::string& place) {
  Reading newest = std::move(set_.readings.back());
  set_.readings.pop_back();
  const SetVerdict without = judge_at(place);
  std::erase_if(told_, [&](const std::string& text) {
    return std::ranges::find(without.reasons, text, &Reason::text) == without.reasons.end();
  });
  return newest;
}

ScanSet::Judged ScanSet::judge_so_far(const std::string& place) {
  Judged judged{judge_at(place), {}};
  for (const Reason& reason : judged.verdict.reasons) {
    if (!judged.bad() || !is_finding(reason.verdict) || std::ranges::find(told_, reason.text) != told_.end()) continue;
    told_.push_back(reason.text);
    judged.fresh.push_back(reason);
  }
  return judged;
}

bool ScanSet::Judged::bad() const { return is_finding(verdict.verdict); }

std::string ScanSet::Judged::progress() const {
  return std::to_string(verdict.seen) + " of " + std::to_string(verdict.expected) +
         (verdict.verdict == Verdict::agree ? "   COMPLETE" : "");
}

SetVerdict ScanSet::close(const std::string& place) {
  set_.images = {std::string{k_picture}};
  return judge_at(place);
}

SetVerdict ScanSet::judge_at(const std::string& place) {
  set_.place_given.reset();
  if (!place.empty()) set_.place_given = place;
  if (!box_) return judge(set_, *records_, *standard_);
  ReadingSet with_box = set_;
  with_box.readings.push_back(*box_);
  return judge(with_box, *records_, *standard_);
}

}  // namespace sherdmark
