// The design of an audit as the canonical JSON it is frozen in, and back.
#include "ledger/audit_design.h"

#include <algorithm>
#include <array>

#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

constexpr std::array<std::string_view, 2> k_directions = {"record to object", "object to record"};
constexpr std::array<std::string_view, 4> k_units = {"bag", "box", "item", "place"};
constexpr std::array<std::string_view, 3> k_methods = {"discovery", "ISO 2859-1", "fixed"};
constexpr std::array<std::string_view, 3> k_layouts = {"simple", "stratified", "cluster"};
constexpr std::array<std::string_view, 4> k_groups = {"none", "place", "accession", "box"};

template <class Value, std::size_t Size>
Value parse(const std::array<std::string_view, Size>& words, const std::string& word) {
  const auto* found = std::ranges::find(words, word);
  if (found == words.end())
    throw data_error("an audit's design holds a word this program does not know", {},
                     "use the program version that wrote it");
  return static_cast<Value>(found - words.begin());
}

}  // namespace

std::string_view to_text(AuditDirection direction) { return k_directions[static_cast<std::size_t>(direction)]; }
std::string_view to_text(AuditUnitKind unit) { return k_units[static_cast<std::size_t>(unit)]; }
std::string_view to_text(AuditMethod method) { return k_methods[static_cast<std::size_t>(method)]; }
std::string_view to_text(AuditLayout layout) { return k_layouts[static_cast<std::size_t>(layout)]; }
std::string_view to_text(AuditGroups groups) { return k_groups[static_cast<std::size_t>(groups)]; }

void write_design(JsonWriter& out, const AuditDesign& design) {
  out.begin_object().key("about").text(design.about).key("accept").integer(design.accept);
  out.key("accession").text(design.scope.accession).key("aql_percent").decimal(design.aql_percent);
  out.key("confidence").decimal(design.confidence).key("counts_shown").boolean(design.counts_shown);
  out.key("design_effect").decimal(design.design_effect).key("direction").text(to_text(design.direction));
  out.key("errors").begin_array();
  for (const AuditErrorClass& one : design.errors) out.begin_array().text(one.name).text(one.definition).end_array();
  out.end_array().key("exclusions").begin_array();
  for (const AuditExclusion& one : design.exclusions) out.begin_array().text(one.subject).text(one.reason).end_array();
  out.end_array().key("frame").integer(design.frame).key("frame_hash").text(design.frame_hash);
  out.key("groups").text(to_text(design.groups)).key("groups_in_frame").integer(design.groups_in_frame);
  out.key("layout").text(to_text(design.layout)).key("letter").text(design.letter).key("level").text(design.level);
  out.key("method").text(to_text(design.method)).key("place").text(design.scope.place);
  out.key("reason").text(design.reason).key("seed").text(design.seed).key("status").text(design.scope.status);
  out.key("strata").begin_array();
  for (const auto& [name, units] : design.strata) out.begin_array().text(name).integer(units).end_array();
  out.end_array().key("tolerable").decimal(design.tolerable).key("tolerable_units").integer(design.tolerable_units);
  out.key("unit").text(to_text(design.unit)).end_object();
}

AuditDesign read_design(const std::string& json) {
  const JsonObject object{JsonView{json}};
  AuditDesign design;
  design.about = object.at("about").text();
  design.accept = object.at("accept").integer();
  design.scope = {object.at("place").text(), object.at("accession").text(), object.at("status").text()};
  design.aql_percent = object.at("aql_percent").decimal();
  design.confidence = object.at("confidence").decimal();
  design.counts_shown = object.at("counts_shown").boolean();
  design.design_effect = object.at("design_effect").decimal();
  design.direction = parse<AuditDirection>(k_directions, object.at("direction").text());
  for (auto walk = object.at("errors").elements(); const auto line = walk.next();) {
    auto cell = line->elements();
    std::string name = cell.need().text();
    design.errors.push_back({std::move(name), cell.need().text()});
  }
  for (auto walk = object.at("exclusions").elements(); const auto line = walk.next();) {
    auto cell = line->elements();
    std::string subject = cell.need().text();
    design.exclusions.push_back({std::move(subject), cell.need().text()});
  }
  design.frame = object.at("frame").integer();
  design.frame_hash = object.at("frame_hash").text();
  design.groups = parse<AuditGroups>(k_groups, object.at("groups").text());
  design.groups_in_frame = object.at("groups_in_frame").integer();
  design.layout = parse<AuditLayout>(k_layouts, object.at("layout").text());
  design.letter = object.at("letter").text();
  design.level = object.at("level").text();
  design.method = parse<AuditMethod>(k_methods, object.at("method").text());
  design.reason = object.at("reason").text();
  design.seed = object.at("seed").text();
  for (auto walk = object.at("strata").elements(); const auto line = walk.next();) {
    auto cell = line->elements();
    std::string name = cell.need().text();
    design.strata.emplace_back(std::move(name), cell.need().integer());
  }
  design.tolerable = object.at("tolerable").decimal();
  design.tolerable_units = object.at("tolerable_units").integer();
  design.unit = parse<AuditUnitKind>(k_units, object.at("unit").text());
  return design;
}

}  // namespace sherdmark
