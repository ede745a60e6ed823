// From a frame to a draw.
#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <numeric>

#include "sherdmark/base/error.h"
#include "sherdmark/base/hash.h"
#include "sherdmark/base/text.h"
#include "sherdmark/count/audit.h"
#include "sherdmark/count/sampling.h"

namespace sherdmark {
namespace {

struct Keyed {
  std::string key;
  const AuditUnit* unit = nullptr;
};

std::string key_of(const std::string& seed, const std::string& subject) { return sha256_hex(seed + ":" + subject); }

std::vector<const AuditUnit*> smallest_keys(const std::vector<const AuditUnit*>& units, const std::string& seed,
                                            std::int64_t size) {
  std::vector<Keyed> keyed;
  keyed.reserve(units.size());
  for (const AuditUnit* unit : units) keyed.push_back({key_of(seed, unit->subject), unit});
  std::ranges::sort(keyed, {}, &Keyed::key);
  std::vector<const AuditUnit*> drawn;
  for (std::size_t i = 0; i < std::min(keyed.size(), static_cast<std::size_t>(size)); ++i)
    drawn.push_back(keyed[i].unit);
  return drawn;
}

// Splits the frame into what may be drawn and what is excluded; both keep the order of names.
std::vector<const AuditUnit*> set_frame(AuditDesign& design, std::vector<AuditUnit>& frame) {
  for (const AuditExclusion& asked : design.exclusions) {
    const auto unit = std::ranges::find(frame, asked.subject, &AuditUnit::subject);
    if (unit == frame.end())
      throw usage_error(fmt::format("{} is not in the frame, so it cannot be left out of it", printable(asked.subject)),
                        "check its name, or leave the exclusion away");
    if (unit->exclude.empty()) unit->exclude = asked.reason;
  }
  design.exclusions.clear();
  std::vector<const AuditUnit*> units;
  std::string names;
  for (const AuditUnit& unit : frame) {
    if (!unit.exclude.empty()) {
      design.exclusions.push_back({unit.subject, unit.exclude});
      continue;
    }
    units.push_back(&unit);
    names += unit.subject + "\n";
  }
  if (units.empty())
    throw usage_error("nothing is left that could be drawn", "check place, accession, status and the exclusions");
  design.frame = static_cast<std::int64_t>(units.size());
  design.frame_hash = sha256_hex(names);
  design.tolerable_units = std::max<std::int64_t>(1, tolerable_count(design.frame, design.tolerable));
  return units;
}

std::int64_t size_of_draw(AuditDesign& design, std::int64_t fixed_size) {
  std::int64_t size = fixed_size;
  if (design.method == AuditMethod::discovery)
    size = discovery_sample_size(design.frame, design.tolerable_units, design.confidence);
  if (design.method == AuditMethod::iso2859) {
    if (design.frame < 2) throw usage_error("the plan needs at least two units", "inspect the one unit");
    const auto level = static_cast<InspectionLevel>(inspection_level(design.level).value());
    const SamplingPlan plan = single_sampling_plan(design.frame, level, design.aql_percent);
    design.letter = std::string{plan.letter};
    design.accept = plan.accept;
    size = plan.sample;
  }
  if (size < 1) throw usage_error("how many are to be drawn was not said", "give a size of at least 1");
  return std::min(size, design.frame);
}

std::map<std::string, std::vector<const AuditUnit*>> by_group(const std::vector<const AuditUnit*>& units) {
  std::map<std::string, std::vector<const AuditUnit*>> groups;
  for (const AuditUnit* unit : units) groups[unit->group].push_back(unit);
  return groups;
}

// In proportion to the strata, by largest remainder, at least one from each.
std::vector<const AuditUnit*> draw_strata(AuditDesign& design, const std::vector<const AuditUnit*>& units,
                                          std::int64_t size) {
  const auto groups = by_group(units);
  design.groups_in_frame = static_cast<std::int64_t>(groups.size());
  std::map<std::string, std::int64_t> share;
  std::vector<std::pair<double, std::string>> rest;
  std::int64_t given = 0;
  for (const auto& [name, members] : groups) {
    const double exact =
        static_cast<double>(size) * static_cast<double>(members.size()) / static_cast<double>(units.size());
    share[name] = std::max<std::int64_t>(1, static_cast<std::int64_t>(exact));
    rest.emplace_back(static_cast<double>(share[name]) - exact, name);
    given += share[name];
    design.strata.emplace_back(name, static_cast<std::int64_t>(members.size()));
  }
  std::ranges::sort(rest);
  for (std::size_t i = 0; given < size && i < 2 * rest.size(); ++i) {
    const std::string& name = rest[i % rest.size()].second;
    if (share[name] >= static_cast<std::int64_t>(groups.at(name).size())) continue;
    ++share[name];
    ++given;
  }
  std::vector<const AuditUnit*> drawn;
  for (const auto& [name, members] : groups)
    for (const AuditUnit* unit : smallest_keys(members, design.seed, share[name])) drawn.push_back(unit);
  return drawn;
}

// Whole clusters until there are enough units in them.
std::vector<const AuditUnit*> draw_clusters(AuditDesign& design, const std::vector<const AuditUnit*>& units,
                                            std::int64_t size) {
  const auto groups = by_group(units);
  design.groups_in_frame = static_cast<std::int64_t>(groups.size());
  std::vector<std::pair<std::string, std::string>> order;
  for (const auto& [name, members] : groups) order.emplace_back(key_of(design.seed, name), name);
  std::ranges::sort(order);
  const double wanted = static_cast<double>(size) * std::max(1.0, design.design_effect);
  std::vector<const AuditUnit*> drawn;
  for (const auto& [key, name] : order) {
    if (static_cast<double>(drawn.size()) >= wanted) break;
    drawn.insert(drawn.end(), groups.at(name).begin(), groups.at(name).end());
  }
  return drawn;
}

std::string what_it_is_about(const AuditDesign& design) {
  const std::string unit{to_text(design.unit)};
  std::string text;
  if (design.direction == AuditDirection::object_to_record)
    text =
        "About the objects that stand where the ledger has some, found by position; what lies at places the ledger "
        "does not know had no chance to be drawn.";
  else
    text = fmt::format(
        "About the {} records of the frame: is each {} where and what the record says. What has no record "
        "had no chance to be drawn.",
        design.frame, unit);
  if (design.layout == AuditLayout::stratified)
    text += fmt::format(
        " Drawn within each {} in proportion to its size: about each of the {} strata, and about the "
        "whole only by adding their bounds.",
        to_text(design.groups), design.groups_in_frame);
  if (design.layout == AuditLayout::cluster)
    text += fmt::format(
        " Whole {}s were drawn, {} in the frame: neighbours are alike, so no simple bound holds; the "
        "bound uses a design effect.",
        to_text(design.groups), design.groups_in_frame);
  return text;
}

void require_sound(const AuditDesign& design) {
  if (design.confidence <= 0.5 || design.confidence >= 1)
    throw usage_error("the confidence must lie between 50 and 100 %", "95 is usual");
  if (design.tolerable <= 0 || design.tolerable >= 1)
    throw usage_error("the tolerable rate must lie between 0 and 100 %", "5 is usual");
  if (design.layout != AuditLayout::simple && design.groups == AuditGroups::none)
    throw usage_error("strata or clusters of what was not said", "say place, box or accession");
  if (design.layout == AuditLayout::cluster && design.method == AuditMethod::iso2859)
    throw usage_error("the plans of ISO 2859-1 are for simple draws, not for clusters", "choose one of both");
  if (design.direction == AuditDirection::object_to_record && design.unit != AuditUnitKind::bag)
    throw usage_error("objects are drawn by position, as bags", "leave the unit away");
  if (design.direction == AuditDirection::object_to_record && design.layout != AuditLayout::simple)
    throw usage_error("a draw by position is a simple draw", "leave strata and clusters away");
  if (design.errors.empty()) throw usage_error("no class of error is defined", "define at least one");
}

// "Room 2/Range A/Shelf 3 @ 37 %": the object nearest to that mark, from the left. Places come up as often as the
// ledger has bags there.
AuditDraw by_position(const AuditUnit& unit, const std::string& seed) {
  const std::string key = key_of(seed + "/position", unit.subject);
  const int percent = static_cast<int>(std::stoul(key.substr(0, 8), nullptr, 16) % 100);
  AuditDraw draw;
  draw.subject = fmt::format("{} @ {} %", unit.place, percent);
  draw.place = unit.place;
  return draw;
}

}  // namespace

std::vector<AuditErrorClass> usual_errors(AuditDirection direction) {
  if (direction == AuditDirection::object_to_record)
    return {{"no record", "the ledger knows nothing of it, or of another thing by its number"},
            {"wrong place", "the record has it somewhere else"},
            {"label wrong", "its label is missing, void, superseded, or names something else"}};
  return {{"not found", "not at its place, nor within arm's reach of it"},
          {"wrong place", "found, but somewhere else than the record says"},
          {"label wrong", "its label is missing, void, superseded, or names something else"},
          {"count differs", "opened, and the number of pieces is not the one recorded"}};
}

std::optional<int> inspection_level(std::string_view text) {
  constexpr std::string_view k_levels[] = {"S-1", "S-2", "S-3", "S-4", "I", "II", "III"};
  const auto* found = std::ranges::find(k_levels, text);
  if (found == std::end(k_levels)) return std::nullopt;
  return static_cast<int>(found - std::begin(k_levels));
}

PlannedAudit plan_audit(const AuditDesign& wanted, std::vector<AuditUnit> frame, std::int64_t fixed_size) {
  PlannedAudit plan{wanted, {}};
  AuditDesign& design = plan.design;
  require_sound(design);
  const bool by_places = design.direction == AuditDirection::object_to_record;
  if (by_places)
    for (AuditUnit& unit : frame)
      if (unit.place.empty() && unit.exclude.empty()) unit.exclude = "no place recorded";
  const std::vector<const AuditUnit*> units = set_frame(design, frame);
  const std::int64_t size = size_of_draw(design, fixed_size);
  const std::vector<const AuditUnit*> drawn =
      design.layout == AuditLayout::stratified ? draw_strata(design, units, size)
      : design.layout == AuditLayout::cluster  ? draw_clusters(design, units, size)
                                               : smallest_keys(units, design.seed, size);
  for (const AuditUnit* unit : drawn) {
    AuditDraw draw{0, unit->subject, unit->group, unit->place, {}, {}, {}, {}, {}};
    if (by_places) draw = by_position(*unit, design.seed);
    const bool twice =
        by_places && std::ranges::find(plan.draws, draw.subject, &AuditDraw::subject) != plan.draws.end();
    if (twice) draw.subject += ", its neighbour at the right";
    draw.rank = static_cast<std::int64_t>(plan.draws.size()) + 1;
    plan.draws.push_back(std::move(draw));
  }
  design.about = what_it_is_about(design);
  return plan;
}

std::vector<AuditDraw> walking_order(std::vector<AuditDraw> draws) {
  // Digits become fixed-width numbers, so that plain comparison walks shelves in their order.
  // An id is no number: its digits go on with letters.
  const auto key = [](const AuditDraw& draw) {
    const bool id = parse_identity(IdentityKind::bag, draw.subject) == draw.subject;
    constexpr std::size_t k_width = 12;
    std::string text;
    std::string digits;
    for (const char letter : draw.place + "\x01" + (id ? std::string{} : draw.subject) + "\x01") {
      if (letter >= '0' && letter <= '9') {
        digits += letter;
        continue;
      }
      if (!digits.empty()) text += std::string(k_width - std::min(k_width, digits.size()), '0') + digits;
      digits.clear();
      text += letter;
    }
    return id ? text + draw.subject : text;
  };
  std::ranges::stable_sort(draws, {}, key);
  return draws;
}

}  // namespace sherdmark
