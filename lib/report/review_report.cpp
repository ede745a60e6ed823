#include "sherdmark/report/review_report.h"
#include "report/count_words.h"
#include "report/crop_sample.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "sherdmark/base/clock.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/ledger/identity.h"

namespace sherdmark {
namespace {

using Json = nlohmann::ordered_json;

constexpr double k_about = 0.35;         // of the label's own sides, shown round it
constexpr double k_least_wide_px = 900;  // on a screen
constexpr double k_most_enlarged = 12;
constexpr double k_most_wide_px = 1600;

template <typename T>
std::optional<T> maybe(const Json& object, const char* key) {
  const auto found = object.find(key);
  if (found == object.end() || found->is_null()) return std::nullopt;
  return found->get<T>();
}

ReadingSource source_named(const std::string& name) {
  for (const ReadingSource source : {ReadingSource::qr, ReadingSource::micro_qr, ReadingSource::data_matrix,
                                     ReadingSource::text, ReadingSource::keyed, ReadingSource::large_print})
    if (to_text(source) == name) return source;
  throw data_error("A verdict that was kept names a source of readings that is not known.", {}, "Check the set again.");
}

Reading reading_of(const Json& json) {
  Reading reading;
  const auto role = parse_role(json.at("role").get<std::string>());
  if (!role) throw data_error("A verdict that was kept names a label role that is not known.", {}, "Check again.");
  reading.role = *role;
  reading.sure = json.at("sure").get<bool>();
  reading.number = maybe<std::string>(json, "number");
  reading.bag = maybe<std::string>(json, "bag");
  reading.serial = maybe<std::string>(json, "serial");
  reading.revision = maybe<int>(json, "revision");
  reading.source = source_named(json.at("source").get<std::string>());
  reading.margin = maybe<double>(json, "margin");
  reading.image = json.at("image").get<std::string>();
  reading.page = json.at("page").get<int>();
  reading.text = maybe<std::string>(json, "text");
  reading.collection_key = maybe<std::string>(json, "collection_key");
  reading.ordinal = maybe<int>(json, "ordinal");
  reading.place = maybe<std::string>(json, "place");
  reading.micro_number = maybe<std::string>(json, "micro_number");
  reading.newer_format = maybe<bool>(json, "newer_format").value_or(false);
  reading.number_is_opaque = maybe<bool>(json, "number_is_opaque").value_or(false);
  if (const auto corners = json.find("corners"); corners != json.end() && corners->is_array()) {
    Corners four;
    for (std::size_t i = 0; i < 4; ++i)
      four[i] = {corners->at(i).at(0).get<double>(), corners->at(i).at(1).get<double>()};
    reading.corners = four;
  }
  return reading;
}

}  // namespace

std::vector<Reading> readings_of(const CheckRecord& check) {
  std::vector<Reading> readings;
  try {
    for (const Json& json : Json::parse(check.readings_json)) readings.push_back(reading_of(json));
  } catch (const Json::exception&) {
    throw data_error("The readings of a verdict that was kept are not whole.", {}, "Check the set again.");
  }
  return readings;
}

ColourPicture crop_label(const ColourPicture& photograph, const Corners& corners) {
  const auto length = [&corners](std::size_t a, std::size_t b) {
    return std::hypot(corners[b].x - corners[a].x, corners[b].y - corners[a].y);
  };
  const double wide = std::max({length(0, 1), length(3, 2), 1.0});
  const double high = std::max({length(0, 3), length(1, 2), 1.0});
  const double about = k_about * std::max(std::min(wide, high), wide / 4);
  const double shown_wide = wide + 2 * about;
  const double shown_high = high + 2 * about;
  const double enlarged = std::min(std::clamp(k_least_wide_px / shown_wide, 1.0, k_most_enlarged),
                                   k_most_wide_px / std::max(shown_wide, shown_high));
  ColourPicture crop;
  crop.width_px = std::max(1, static_cast<int>(shown_wide * enlarged));
  crop.height_px = std::max(1, static_cast<int>(shown_high * enlarged));
  crop.rgb.assign(static_cast<std::size_t>(crop.width_px) * static_cast<std::size_t>(crop.height_px) * 3, 128);
  std::size_t out = 0;
  for (int row = 0; row < crop.height_px; ++row) {
    for (int column = 0; column < crop.width_px; ++column, out += 3) {
      const double u = ((column + 0.5) / enlarged - about) / wide;
      const double v = ((row + 0.5) / enlarged - about) / high;
      const auto blend = [&](double PointF::*axis) {
        return (corners[0].*axis * (1 - u) + corners[1].*axis * u) * (1 - v) +
               (corners[3].*axis * (1 - u) + corners[2].*axis * u) * v;
      };
      sample_into(photograph, {blend(&PointF::x), blend(&PointF::y)},
                  std::span<std::uint8_t, 3>{crop.rgb.data() + out, 3});
    }
  }
  return crop;
}

std::string review_text(std::span<const ReviewedSet> sets, std::size_t waiting) {
  if (sets.empty() && waiting == 0) return "Nothing is waiting for review.\n";
  const std::string left = waiting == 0 ? ""
                                        : plural(static_cast<std::int64_t>(waiting), "set waits", "sets wait") +
                                              " for review another time.\n";
  if (sets.empty()) return "Nothing was reviewed; " + left;
  std::string text;
  for (const ReviewedSet& one : sets) {
    text +=
        fmt::format("{}: {} of {} keyed; was {}, is {} {}\n", printable(one.set), one.keyed,
                    plural(static_cast<std::int64_t>(one.asked), "label", "labels"), one.verdict_before,
                    one.verdict_before == to_text(one.outcome.verdict) ? "still" : "now", to_text(one.outcome.verdict));
    for (const Reason& reason : one.outcome.reasons) text += "  - " + printable(reason.text) + "\n";
  }
  return text + plural(static_cast<std::int64_t>(sets.size()), "set", "sets") +
         " reviewed. What was keyed is kept with the keyer's name.\n" + left;
}

std::string review_json(std::span<const ReviewedSet> sets) {
  Json document;
  document["schema"] = 1;
  document["sets"] = Json::array();
  for (const ReviewedSet& one : sets) {
    Json json;
    json["set"] = one.set;
    json["asked"] = one.asked;
    json["keyed"] = one.keyed;
    json["verdict_before"] = one.verdict_before;
    json["verdict"] = to_text(one.outcome.verdict);
    json["bag"] = one.outcome.bag ? Json(*one.outcome.bag) : Json(nullptr);
    json["reasons"] = Json::array();
    for (const Reason& reason : one.outcome.reasons)
      json["reasons"].push_back({{"code", reason.code}, {"text", reason.text}});
    document["sets"].push_back(std::move(json));
  }
  return document.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

std::string overrides_text(std::span<const Override> overrides) {
  if (overrides.empty()) return "No verdict was overridden.\n";
  std::string text;
  for (const Override& one : overrides)
    text += fmt::format("{}  {} → {}  by {}{}: {}\n", time_in_words(one.time),
                        one.bag.empty() ? printable(one.set) : "bag " + group_identity(one.bag), one.verdict,
                        printable(one.person), one.second_person.empty() ? "" : " and " + printable(one.second_person),
                        printable(one.reason));
  return text + plural(static_cast<std::int64_t>(overrides.size()), "override", "overrides") +
         ", counted apart from what was read and judged.\n";
}

std::string overrides_json(std::span<const Override> overrides) {
  Json document;
  document["schema"] = 1;
  document["overrides"] = Json::array();
  for (const Override& one : overrides)
    document["overrides"].push_back(
        {{"check", one.check},
         {"bag", one.bag.empty() ? Json(nullptr) : Json(one.bag)},
         {"set", one.set},
         {"verdict", one.verdict},
         {"reason", one.reason},
         {"person", one.person},
         {"second_person", one.second_person.empty() ? Json(nullptr) : Json(one.second_person)},
         {"time", one.time}});
  return document.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace sherdmark
