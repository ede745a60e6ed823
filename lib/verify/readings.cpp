#include "sherdmark/verify/readings.h"
#include "verify/link_reading.h"

#include <algorithm>
#include <limits>

#include "sherdmark/base/text.h"
#include "sherdmark/code/link_code.h"
#include "verify/merge.h"
#include "verify/outlines.h"

namespace sherdmark {
namespace {

std::optional<ReadingSource> source_of(SymbolFormat format) {
  switch (format) {
    case SymbolFormat::qr:
      return ReadingSource::qr;
    case SymbolFormat::micro_qr:
      return ReadingSource::micro_qr;
    case SymbolFormat::data_matrix:
      return ReadingSource::data_matrix;
    default:
      return std::nullopt;  // none of ours are printed in it
  }
}

// The text on whose paper the small code lies, the nearest; -1 for none. One that was not read surely may be another
// label's, which the end of this one covers: a text that reads as the code does is its own. A picture that was not
// searched to its end is no paper.
int text_beside(const CodeReading& code, std::string_view number, const std::vector<TextReading>& texts) {
  const PointF centre = centre_of(code.corners);
  int nearest = -1, own = -1;
  double nearest_px = std::numeric_limits<double>::infinity(), own_px = nearest_px;
  for (std::size_t i = 0; i < texts.size(); ++i) {
    if (gave_up(texts[i])) continue;
    const double distance = distance_to(centre, texts[i].corners);
    if (distance > reach_of_paper_px(code.corners, texts[i].px_per_mm)) continue;
    if (distance < nearest_px) nearest = static_cast<int>(i), nearest_px = distance;
    if (texts[i].sure && texts[i].number == number && distance < own_px) own = static_cast<int>(i), own_px = distance;
  }
  return nearest >= 0 && !texts[static_cast<std::size_t>(nearest)].sure && own >= 0 ? own : nearest;
}

struct SmallCode {
  const CodeReading* code = nullptr;
  ReadingSource source = ReadingSource::micro_qr;
  std::string number;
};

struct Builder {
  ReadingSet set{};

  Reading start(const ImageReadings& picture, const Corners& corners) const {
    Reading reading;
    reading.image = picture.image;
    reading.page = picture.page;
    reading.corners = corners;
    return reading;
  }

  void note_foreign(const ImageReadings& picture, const CodeReading& code, std::string_view why) {
    set.notes.push_back(std::string{why} + " in " + printable(picture.image) + ": " +
                        std::string{to_text(code.format)} + " \"" + printable(code.text) + "\".");
  }

  void note_set_aside(const ImageReadings& picture) {
    const std::size_t count = picture.set_aside.size();
    if (count == 0) return;
    const bool one = count == 1;
    set.notes.push_back(
        "In " + printable(picture.image) + ", " + std::to_string(count) +
        (one ? " line looked like a label's. By its place, size or print it is none, and it was"
             : " lines looked like labels'. By their place, size or print they are none, and they were") +
        " left out.");
  }

  // A small code is handed back, to be joined to its text; everything else becomes a reading here.
  std::optional<SmallCode> add_code(const ImageReadings& picture, const CodeReading& code) {
    const LinkReading link = parse_code_text(code.text);
    if (link.status == LinkStatus::foreign) {
      note_foreign(picture, code, "A foreign code");
      return std::nullopt;
    }
    const auto source = source_of(code.format);
    if (!source) {
      note_foreign(picture, code, "A text like ours in a kind of code that is never printed here");
      return std::nullopt;
    }
    if (link.status == LinkStatus::ours && link.micro) return SmallCode{&code, *source, link.micro->number};
    Reading reading = start(picture, code.corners);
    reading.source = *source;
    reading.role = *source == ReadingSource::qr ? LabelRole::bag : LabelRole::artifact;  // as long as it is not read
    reading.text = code.text;
    reading.newer_format = link.status == LinkStatus::newer;
    if (link.status == LinkStatus::ours && link.link) fill_from_link(reading, *link.link);
    set.readings.push_back(std::move(reading));
    return std::nullopt;
  }

  void add_text(const ImageReadings& picture, const TextReading& text, const SmallCode* code) {
    if (gave_up(text))
      set.notes.push_back("The search for label texts in " + printable(picture.image) + " " + text.why_not +
                          "; what it had not reached is not known.");
    Reading reading = start(picture, text.corners);
    reading.role = LabelRole::artifact;
    reading.source = ReadingSource::text;
    reading.sure = text.sure && !text.number.empty();
    if (reading.sure) reading.number = text.number;
    reading.margin = text.margin;
    if (gave_up(text))
      reading.corners.reset();  // no label that a person could key: nothing may stand for what is not known
    reading.text = text.lines.empty() ? text.number : join(text.lines, "\n");
    if (code != nullptr) {
      reading.micro_number = code->number;
      if (!reading.sure && contains(text.corners, centre_of(code->code->corners))) {
        reading.sure = true;
        reading.source = code->source;
        reading.number = code->number;
        reading.margin.reset();
      }
    }
    set.readings.push_back(std::move(reading));
  }

  // Whose code it is nobody knows: a bag's, for all that can be seen.
  void add_unread_carrier(const ImageReadings& picture, const Corners& corners, ReadingSource source) {
    Reading reading = start(picture, corners);
    reading.role = LabelRole::bag;
    reading.source = source;
    set.readings.push_back(std::move(reading));
  }

  void add_lone_code(const ImageReadings& picture, const SmallCode& small) {
    Reading reading = start(picture, small.code->corners);
    reading.role = LabelRole::artifact;
    reading.source = small.source;
    reading.sure = true;
    reading.number = small.number;
    reading.text = small.code->text;
    set.readings.push_back(std::move(reading));
  }

  void add(const ImageReadings& picture) {
    std::vector<const SmallCode*> beside(picture.texts.size(), nullptr);
    std::vector<SmallCode> small_codes;
    for (const CodeReading& code : picture.codes)
      if (auto small = add_code(picture, code)) small_codes.push_back(std::move(*small));
    std::vector<const SmallCode*> alone;
    for (const SmallCode& small : small_codes) {
      const int text = text_beside(*small.code, small.number, picture.texts);
      if (text >= 0 && beside[static_cast<std::size_t>(text)] == nullptr) {
        beside[static_cast<std::size_t>(text)] = &small;
      } else {
        alone.push_back(&small);
      }
    }
    for (std::size_t i = 0; i < picture.texts.size(); ++i) add_text(picture, picture.texts[i], beside[i]);
    for (const SmallCode* small : alone) add_lone_code(picture, *small);
    for (const Corners& corners : picture.unread_codes) add_unread_carrier(picture, corners, ReadingSource::qr);
    for (const Corners& corners : picture.unseen_codes)
      add_unread_carrier(picture, corners, ReadingSource::large_print);
    note_set_aside(picture);
    if (std::find(set.images.begin(), set.images.end(), picture.image) == set.images.end())
      set.images.push_back(picture.image);
  }
};

}  // namespace

void fill_from_link(Reading& reading, const LinkCode& link) {
  reading.sure = true;
  reading.role = link.role;
  reading.collection_key = link.collection_key;
  if (!link.number.empty()) reading.number = link.number;
  reading.number_is_opaque = link.number_is_opaque;
  reading.serial = link.serial;
  reading.revision = link.revision;
  reading.ordinal = link.ordinal;
  if (link.role == LabelRole::bag || link.role == LabelRole::tag || link.role == LabelRole::removal_slip)
    reading.bag = link.subject;
  if (link.role == LabelRole::box || link.role == LabelRole::shelf) reading.place = link.subject;
}

ReadingSet build_set(const std::string& name, const std::vector<ImageReadings>& pictures) {
  Builder builder;
  builder.set.name = name;
  for (const ImageReadings& picture : pictures) builder.add(picture);
  return std::move(builder.set);
}

}  // namespace sherdmark
