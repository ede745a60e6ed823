#include "ledger/carrier_fields.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <utility>

#include "sherdmark/base/text.h"
#include "sherdmark/ledger/plan_labels.h"
#include "sherdmark/standard/privacy.h"

namespace sherdmark {
namespace {

// A decimal without a useless tail: 12.5, 3, 0.25.
std::string plain(double value) { return fmt::format("{}", std::round(value * 1000.0) / 1000.0); }

std::string without_breaks(std::string text) {
  for (char& c : text)
    if (static_cast<unsigned char>(c) < 0x20) c = ' ';
  return text;
}

std::string one_line(std::string text) { return std::string{trim(without_breaks(std::move(text)))}; }

// Each value once, in the order met.
std::string each_once(const std::vector<BagLine>& contents, const std::function<std::string(const CatalogRow&)>& value,
                      std::string_view separator = "; ") {
  std::vector<std::string> values;
  for (const BagLine& line : contents) {
    const std::string text = one_line(value(line.item->row));
    if (!text.empty() && std::find(values.begin(), values.end(), text) == values.end()) values.push_back(text);
  }
  return join(values, separator);
}

std::string depth_of(const CatalogRow& row) {
  if (row.depth_top_cm && row.depth_bottom_cm)
    return fmt::format("{}–{} cm", plain(*row.depth_top_cm), plain(*row.depth_bottom_cm));
  if (row.depth_top_cm) return fmt::format("from {} cm", plain(*row.depth_top_cm));
  if (row.depth_bottom_cm) return fmt::format("to {} cm", plain(*row.depth_bottom_cm));
  return {};
}

std::string object_of(const std::vector<BagLine>& contents) {
  if (contents.size() == 1) return one_line(contents[0].item->row.object.str());
  std::vector<std::string> lines;
  for (const BagLine& line : contents)
    lines.push_back(one_line(line.item->row.number.text() + " " + line.item->row.object.str()));
  return join(lines, "; ");
}

std::string count_of(const std::vector<BagLine>& contents) {
  std::int64_t here = 0;
  for (const BagLine& line : contents) {
    if (!line.quantity) return {};
    here += *line.quantity;
  }
  const std::optional<std::int64_t>& whole = contents[0].item->row.count;
  if (contents.size() == 1 && whole && *whole != here) return fmt::format("{} of {}", here, *whole);
  return fmt::format("{}", here);
}

std::string bag_of(const BagRecord& bag, const std::vector<BagLine>& contents) {
  std::string text = group_identity(bag.id);
  const std::vector<std::string>& bags = contents[0].item->bags;
  const auto place = std::find(bags.begin(), bags.end(), bag.id);
  if (contents.size() == 1 && bags.size() > 1 && place != bags.end())
    text += fmt::format(", bag {} of {}", place - bags.begin() + 1, bags.size());
  return text;
}

std::string cautions_of(const std::vector<BagLine>& contents) {
  std::vector<std::string> cautions;
  for (const BagLine& line : contents)
    if (!line.caution.empty() && std::find(cautions.begin(), cautions.end(), line.caution) == cautions.end())
      cautions.push_back(one_line(line.caution));
  return join(cautions, " ");
}

std::string weight_of(const std::vector<BagLine>& contents) {
  const ItemRecord& item = *contents[0].item;
  if (contents.size() != 1 || item.bags.size() > 1 || !item.row.weight_g) return {};
  return plain(*item.row.weight_g) + " g";
}

std::string field_text(const std::string& name, const HouseStandard& standard, const BagRecord& bag,
                       const std::vector<BagLine>& contents) {
  if (name == "bag") return bag_of(bag, contents);
  if (name == "lot") {
    std::vector<std::string> lots;
    for (const BagLine& line : contents)
      if (std::find(lots.begin(), lots.end(), line.item->lot) == lots.end()) lots.push_back(line.item->lot);
    return join(lots, "; ");
  }
  if (name == "object") return object_of(contents);
  if (name == "count") return count_of(contents);
  if (name == "weight") return weight_of(contents);
  if (name == "repository") return standard.repository;
  if (name == "cautions") return cautions_of(contents);
  const auto text = [&](auto member) {
    return each_once(contents, [member](const CatalogRow& r) { return (r.*member).str(); });
  };
  if (name == "site") return text(&CatalogRow::site);
  if (name == "accession") return text(&CatalogRow::accession);
  if (name == "unit") return text(&CatalogRow::unit);
  if (name == "stratum") return text(&CatalogRow::stratum);
  if (name == "level") return text(&CatalogRow::level);
  if (name == "feature") return text(&CatalogRow::feature);
  if (name == "date") return text(&CatalogRow::date);
  if (name == "excavators") return text(&CatalogRow::excavators);
  if (name == "material") return text(&CatalogRow::material);
  if (name == "field_number") return text(&CatalogRow::field_number);
  if (name == "remarks") return text(&CatalogRow::remarks);
  if (name == "depth") return each_once(contents, depth_of);
  return {};
}

// Fields that tell where a thing was found; a sensitive bag shows none of them.
bool tells_the_place(const std::string& name) {
  return name != "bag" && name != "repository" && name != "cautions" && name != "count" && name != "material" &&
         name != "object";
}

}  // namespace

bool shows_restricted(const HouseStandard& standard, const std::string& name) {
  const std::vector<std::string> columns = catalog_fields_shown_by(name);
  return std::any_of(columns.begin(), columns.end(),
                     [&](const std::string& column) { return is_restricted(standard, column); });
}

std::string carrier_number(const HouseStandard& standard, const BagRecord& bag, const std::vector<BagLine>& contents) {
  if (bag.sensitive) return bag.id;
  if (contents.size() == 1) return contents[0].item->row.number.text();
  const bool one_lot = std::all_of(contents.begin(), contents.end(),
                                   [&](const BagLine& line) { return line.item->lot == contents[0].item->lot; });
  if (standard.bagging == Bagging::one_bag_per_lot && one_lot) return contents[0].item->lot;
  return bag.id;
}

std::vector<CarrierField> carrier_fields(const HouseStandard& standard, const CarrierDesign& design,
                                         const BagRecord& bag, const std::vector<BagLine>& contents) {
  std::vector<CarrierField> fields;
  for (const std::string& name : design.fields) {
    if (name == "number" || shows_restricted(standard, name)) continue;
    if (bag.sensitive && (tells_the_place(name) || (name == "object" && contents.size() > 1))) continue;
    std::string text = field_text(name, standard, bag, contents);
    if (!text.empty()) fields.push_back({name, std::move(text)});
  }
  return fields;
}

std::string write_carrier_text(const std::vector<CarrierField>& fields) {
  std::string text;
  for (const CarrierField& field : fields) {
    const bool can_be_drawn = is_valid_utf8(field.text);  // older ledgers hold bytes as they were typed
    text += field.name + ": " + without_breaks(can_be_drawn ? field.text : printable(field.text)) + "\n";
  }
  return text;
}

std::vector<CarrierField> read_carrier_text(std::string_view text) {
  std::vector<CarrierField> fields;
  for (const std::string& line : split(text, '\n'))
    if (const std::size_t colon = line.find(": "); colon != std::string::npos)
      fields.push_back({line.substr(0, colon), line.substr(colon + 2)});
  return fields;
}

}  // namespace sherdmark
