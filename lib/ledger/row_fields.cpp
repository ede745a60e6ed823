#include "ledger/row_fields.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <tuple>

#include "ledger/item_rows.h"
#include "sherdmark/standard/privacy.h"

namespace sherdmark {
namespace {

std::string shown(const SharedText& text) { return text.str(); }
std::string shown(const std::optional<std::int64_t>& value) {
  return value ? fmt::format("{}", *value) : std::string{};
}
std::string shown(const std::optional<double>& value) { return value ? fmt::format("{}", *value) : std::string{}; }
std::string shown(ItemKind kind) { return std::string{to_text(kind)}; }

std::string shown(const std::vector<std::string>& list) {
  std::string text;
  for (const std::string& entry : list) text += (text.empty() ? "" : "; ") + entry;
  return text;
}

std::string shown(const std::vector<BagShare>& shares) {
  std::string text;
  for (const BagShare& share : shares) {
    text += (text.empty() ? "" : "; ") + share.mark;
    if (share.quantity) text += fmt::format(" ({})", *share.quantity);
  }
  return text;
}

std::vector<BagShare> sorted(std::vector<BagShare> shares) {
  std::ranges::sort(shares, {}, &BagShare::mark);
  return shares;
}

// The shares as they will be stored. A row that names no bag leaves the bags as they are.
std::vector<BagShare> comparable_shares(const CatalogRow& before, const CatalogRow& after) {
  return after.bags.empty() ? before.bags : completed_shares(after.bags, after.count);
}

auto all_but_lists(const CatalogRow& row) {
  return std::tie(row.accession, row.site, row.kind, row.object, row.material, row.surface, row.count, row.weight_g,
                  row.volume_ml, row.largest_mm, row.status, row.flags, row.field_number, row.assembly, row.unit,
                  row.stratum, row.level, row.feature, row.depth_top_cm, row.depth_bottom_cm, row.date, row.excavators,
                  row.place, row.box, row.remarks, row.extra);
}

struct Field {
  std::string_view name;
  std::string (*text)(const CatalogRow&);
};

constexpr std::array k_fields = {
    Field{"accession", [](const CatalogRow& r) { return shown(r.accession); }},
    Field{"site", [](const CatalogRow& r) { return shown(r.site); }},
    Field{"kind", [](const CatalogRow& r) { return shown(r.kind); }},
    Field{"object", [](const CatalogRow& r) { return shown(r.object); }},
    Field{"material", [](const CatalogRow& r) { return shown(r.material); }},
    Field{"surface", [](const CatalogRow& r) { return shown(r.surface); }},
    Field{"count", [](const CatalogRow& r) { return shown(r.count); }},
    Field{"weight_g", [](const CatalogRow& r) { return shown(r.weight_g); }},
    Field{"volume_ml", [](const CatalogRow& r) { return shown(r.volume_ml); }},
    Field{"largest_mm", [](const CatalogRow& r) { return shown(r.largest_mm); }},
    Field{"status", [](const CatalogRow& r) { return shown(r.status); }},
    Field{"flags", [](const CatalogRow& r) { return shown(r.flags); }},
    Field{"former_numbers", [](const CatalogRow& r) { return shown(distinct(r.former_numbers)); }},
    Field{"field_number", [](const CatalogRow& r) { return shown(r.field_number); }},
    Field{"assembly", [](const CatalogRow& r) { return shown(r.assembly); }},
    Field{"unit", [](const CatalogRow& r) { return shown(r.unit); }},
    Field{"stratum", [](const CatalogRow& r) { return shown(r.stratum); }},
    Field{"level", [](const CatalogRow& r) { return shown(r.level); }},
    Field{"feature", [](const CatalogRow& r) { return shown(r.feature); }},
    Field{"depth_top_cm", [](const CatalogRow& r) { return shown(r.depth_top_cm); }},
    Field{"depth_bottom_cm", [](const CatalogRow& r) { return shown(r.depth_bottom_cm); }},
    Field{"date", [](const CatalogRow& r) { return shown(r.date); }},
    Field{"excavators", [](const CatalogRow& r) { return shown(r.excavators); }},
    Field{"place", [](const CatalogRow& r) { return shown(r.place); }},
    Field{"box", [](const CatalogRow& r) { return shown(r.box); }},
    Field{"remarks", [](const CatalogRow& r) { return shown(r.remarks); }},
};

FieldChange change(std::string_view field, std::string before, std::string after, const HouseStandard& standard) {
  if (is_restricted(standard, field)) return {std::string{field}, {}, {}, true};
  return {std::string{field}, std::move(before), std::move(after), false};
}

std::string extra_value(const CatalogRow& row, const std::string& header) {
  for (const auto& [name, value] : row.extra)
    if (name == header) return value;
  return {};
}

void add_extra_changes(const CatalogRow& before, const CatalogRow& after, const HouseStandard& standard,
                       std::vector<FieldChange>& changes) {
  std::vector<std::string> headers;
  for (const CatalogRow* row : {&before, &after})
    for (const auto& [name, value] : row->extra)
      if (std::ranges::find(headers, name) == headers.end()) headers.push_back(name);
  for (const std::string& header : headers) {
    std::string old_value = extra_value(before, header);
    std::string new_value = extra_value(after, header);
    if (old_value != new_value) changes.push_back(change(header, std::move(old_value), std::move(new_value), standard));
  }
}

}  // namespace

bool same_content(const CatalogRow& before, const CatalogRow& after) {
  return all_but_lists(before) == all_but_lists(after) && before.former_numbers == distinct(after.former_numbers) &&
         sorted(before.bags) == sorted(comparable_shares(before, after));
}

std::vector<FieldChange> changed_fields(const CatalogRow& before, const CatalogRow& after,
                                        const HouseStandard& standard) {
  std::vector<FieldChange> changes;
  for (const Field& field : k_fields) {
    std::string old_text = field.text(before);
    std::string new_text = field.text(after);
    if (old_text != new_text) changes.push_back(change(field.name, std::move(old_text), std::move(new_text), standard));
  }
  const std::vector<BagShare> old_bags = sorted(before.bags);
  const std::vector<BagShare> new_bags = sorted(comparable_shares(before, after));
  if (old_bags != new_bags) changes.push_back(change("bags", shown(old_bags), shown(new_bags), standard));
  add_extra_changes(before, after, standard, changes);
  return changes;
}

bool design_shows(const CarrierDesign& design, std::string_view field) {
  if (field == "bags") return true;  // "bag 1 of 2", the number shown large, and the sums all hang on it
  if (field.starts_with("depth_")) field = "depth";
  if (field == "weight_g") field = "weight";
  return std::ranges::find(design.fields, field) != design.fields.end();
}

}  // namespace sherdmark
