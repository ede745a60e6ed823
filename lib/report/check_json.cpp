// The JSON of `check` and `read`: key names and their order are a contract (docs/commands.md).

#include "report/json_value.h"
#include "report/readings_json.h"
#include "report/verdict_words.h"
#include "sherdmark/report/check_report.h"
#include "sherdmark/report/read_report.h"

namespace sherdmark {
namespace {

using Json = JsonValue;

std::string write(const Json& document) { return document.document(); }

template <typename T>
Json or_null(const std::optional<T>& value) {
  return value ? Json(*value) : Json(nullptr);
}

Json corners_json(const Corners& corners) {
  Json points = Json::array();
  for (const PointF& corner : corners) points.push_back(Json::list({corner.x, corner.y}));
  return points;
}

Json reading_json(const Reading& reading) {
  Json json;
  json["role"] = to_text(reading.role);
  json["number"] = or_null(reading.number);
  json["bag"] = or_null(reading.bag);
  json["serial"] = or_null(reading.serial);
  json["revision"] = or_null(reading.revision);
  json["source"] = to_text(reading.source);
  json["margin"] = or_null(reading.margin);
  json["image"] = reading.image;
  json["page"] = reading.page;
  json["corners"] = reading.corners ? corners_json(*reading.corners) : Json(nullptr);
  json["text"] = or_null(reading.text);
  json["sure"] = reading.sure;
  json["collection_key"] = or_null(reading.collection_key);
  json["ordinal"] = or_null(reading.ordinal);
  json["place"] = or_null(reading.place);
  json["micro_number"] = or_null(reading.micro_number);
  json["newer_format"] = reading.newer_format;
  json["number_is_opaque"] = reading.number_is_opaque;
  return json;
}

}  // namespace

JsonValue readings_json(std::span<const Reading> readings) {
  Json list = Json::array();
  for (const Reading& reading : readings) list.push_back(reading_json(reading));
  return list;
}

namespace {

Json verdict_json(const SetVerdict& verdict) {
  Json json;
  json["bag"] = or_null(verdict.bag);
  json["number"] = or_null(verdict.number);
  json["verdict"] = to_text(verdict.verdict);
  json["evidence"] = to_text(verdict.evidence);
  json["expected"] = verdict.expected;
  json["seen"] = verdict.seen;
  json["unlabelled"] = or_null(verdict.unlabelled);
  json["place_checked"] = verdict.place_checked;
  json["reasons"] = Json::array();
  for (const Reason& reason : verdict.reasons)
    json["reasons"].push_back({{"code", reason.code}, {"text", reason.text}});
  json["readings"] = readings_json(verdict.readings);
  json["images"] = verdict.images;
  json["set"] = verdict.set;
  json["notes"] = verdict.notes;
  json["not_tested"] = not_tested(verdict);
  json["bags"] = bags_named(verdict);
  return json;
}

}  // namespace

std::string check_json(std::span<const SetVerdict> verdicts, std::span<const UnreadPicture> unread) {
  Json document;
  document["schema"] = 1;
  document["sets"] = Json::array();
  for (const SetVerdict& verdict : verdicts) document["sets"].push_back(verdict_json(verdict));
  const VerdictCounts counts = count_verdicts(verdicts);
  Json& summary = document["summary"] = Json::object();
  for (int i = k_verdicts - 1; i >= 0; --i)
    summary[std::string{to_text(static_cast<Verdict>(i))}] = counts[static_cast<std::size_t>(i)];
  document["not_read"] = Json::array();
  for (const UnreadPicture& one : unread) document["not_read"].push_back({{"image", one.image}, {"error", one.error}});
  return write(document);
}

std::string read_json(std::span<const ReadResult> results) {
  Json document;
  document["schema"] = 1;
  document["images"] = Json::array();
  for (const ReadResult& result : results) {
    Json image;
    image["image"] = result.image;
    image["page"] = result.page;
    image["codes"] = Json::array();
    for (const ReadCode& one : result.codes)
      image["codes"].push_back({{"format", to_text(one.code.format)},
                                {"text", one.code.text},
                                {"ours", one.ours},
                                {"corners", corners_json(one.code.corners)}});
    image["error"] = or_null(result.error);
    document["images"].push_back(std::move(image));
  }
  return write(document);
}

}  // namespace sherdmark
