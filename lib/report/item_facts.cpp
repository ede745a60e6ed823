#include "report/item_facts.h"

#include <fmt/format.h>

#include <cmath>

#include "sherdmark/base/text.h"
#include "sherdmark/standard/privacy.h"

namespace sherdmark {
namespace {

std::string number(const std::optional<double>& value) {
  return value ? fmt::format("{}", std::round(*value * 1000.0) / 1000.0) : std::string{};
}

std::string number(const std::optional<std::int64_t>& value) {
  return value ? fmt::format("{}", *value) : std::string{};
}

}  // namespace

std::vector<Fact> item_facts(const ItemRecord& item, const HouseStandard& standard) {
  const CatalogRow& row = item.row;
  std::vector<Fact> facts;
  const auto add = [&](const std::string& name, std::string_view text) {
    if (text.empty()) return;
    const bool restricted = is_restricted(standard, name);
    facts.push_back({name, restricted ? std::string{} : std::string{text}, restricted});
  };
  add("accession", row.accession);
  add("site", row.site);
  add("lot", item.lot);
  add("kind", std::string{to_text(row.kind)});
  add("object", row.object);
  add("material", row.material);
  add("surface", row.surface);
  add("count", number(row.count));
  add("weight_g", number(row.weight_g));
  add("volume_ml", number(row.volume_ml));
  add("largest_mm", number(row.largest_mm));
  add("status", row.status);
  add("flags", join(row.flags, "; "));
  add("former_numbers", join(row.former_numbers, "; "));
  add("field_number", row.field_number);
  add("assembly", row.assembly);
  add("unit", row.unit);
  add("stratum", row.stratum);
  add("level", row.level);
  add("feature", row.feature);
  add("depth_top_cm", number(row.depth_top_cm));
  add("depth_bottom_cm", number(row.depth_bottom_cm));
  add("date", row.date);
  add("excavators", row.excavators);
  add("place", row.place);
  add("box", row.box);
  add("remarks", row.remarks);
  for (const auto& [header, value] : row.extra) add(header, value);
  return facts;
}

std::vector<Fact> whereabouts(const BagRecord& bag, const HouseStandard& standard) {
  std::vector<Fact> facts;
  const auto add = [&](std::string_view name, const std::string& text, std::string_view column) {
    if (text.empty()) return;
    const bool restricted = is_restricted(standard, column);
    facts.push_back({std::string{name}, restricted ? std::string{} : text, restricted});
  };
  add("home", bag.home_place, "place");
  add("now", bag.now_place, "place");
  add("box", bag.box, "box");
  return facts;
}

}  // namespace sherdmark
