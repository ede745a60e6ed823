#include "sherdmark/ledger/try_standard.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <set>
#include <utility>

#include "ledger/carrier_requests.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/code/link_code.h"
#include "sherdmark/ledger/identity.h"
#include "sherdmark/ledger/role_labels.h"
#include "sherdmark/ledger/soak_tests.h"
#include "sherdmark/sheet/label_geometry.h"
#include "sherdmark/sheet/sheets.h"

namespace sherdmark {
namespace {

constexpr double k_trial_dpi = 10;
constexpr std::size_t k_longest_name = 200;  // characters
constexpr const char* k_trial_key = "0000";
constexpr const char* k_trial_bag = "B00000000";
constexpr const char* k_trial_date = "2031-01-01";

// Scripts that run from right to left, and marks that stand on the letter before them.
bool runs_from_left(char32_t c) {
  const bool right_to_left = (c >= 0x0590 && c <= 0x08FF) || (c >= 0xFB1D && c <= 0xFDFF) ||
                             (c >= 0xFE70 && c <= 0xFEFE) || (c >= 0x10800 && c <= 0x10FFF) ||
                             (c >= 0x1E800 && c <= 0x1EFFF);
  const bool combining = (c >= 0x0300 && c <= 0x036F) || (c >= 0x1AB0 && c <= 0x1AFF) || (c >= 0x1DC0 && c <= 0x1DFF) ||
                         (c >= 0x20D0 && c <= 0x20FF) || (c >= 0xFE00 && c <= 0xFE2F);
  return !right_to_left && !combining;
}

std::string shown(char32_t c) {
  return fmt::format("\"{}\" (U+{:04X})", printable(encode_utf8({&c, 1})), static_cast<std::uint32_t>(c));
}

void require_characters(const HouseStandard& standard, const std::string& file) {
  const Typeface faces[] = {Typeface::find(standard.artifact.font), Typeface::find(standard.carrier_font, true)};
  for (const Scheme& scheme : standard.schemes) {
    std::set<char32_t> characters;
    for (const NumberGrammar::State& state :
         scheme.grammar(NumberLevel::site, standard.artifact.check_character).states)
      for (const NumberGrammar::Arc& arc : state.arcs) characters.insert(arc.character);
    for (const char32_t c : characters) {
      if (!runs_from_left(c))
        throw data_error(fmt::format("numbers of the scheme \"{}\" can have {}, and numbers are printed and read from "
                                     "left to right, one character beside the other.",
                                     printable(scheme.name()), shown(c)),
                         {.file = file}, "Take it out of the scheme.");
      for (const Typeface& face : faces)
        if (!face.has(c))
          throw data_error(fmt::format("numbers of the scheme \"{}\" can have {}, which the font {} has not.",
                                       printable(scheme.name()), shown(c), face.family()),
                           {.file = file}, "Choose another font, or take the character out of the scheme.");
    }
  }
}

void require_short_names(const HouseStandard& standard, const std::string& file) {
  for (const auto& [key, text] : {std::pair{"name", &standard.name}, std::pair{"version", &standard.version},
                                  std::pair{"repository", &standard.repository}})
    if (const std::size_t length = code_point_count(*text); length > k_longest_name)
      throw data_error(
          fmt::format("\"standard.{}\" is {} characters long, and it stands on pages and in reports.", key, length),
          {.file = file}, fmt::format("Shorten it to {} characters or fewer.", k_longest_name));
}

// The rule under a line lies above the next one, at the smallest type, too.
void require_thin_rule(const ArtifactLabelDesign& design, const std::string& file) {
  const double smallest_pt = std::min(design.smallest_pt, design.size_pt);
  const double room_mm = (k_line_pitch_em - k_label_ascent_em - k_rule_gap_em) * pt_to_mm(smallest_pt);
  if (design.rule_mm > room_mm)
    throw data_error(fmt::format("a rule of {:g} mm under type of {:g} pt runs into the line below it.", design.rule_mm,
                                 smallest_pt),
                     {.file = file},
                     fmt::format("Set artifact_label.rule_mm to {:.2f} or less, or take larger type.",
                                 std::floor(room_mm * 100) / 100));
}

CarrierLabelRequest request_of(const HouseStandard& standard, LabelRole role, const std::string& number) {
  CarrierLabelRequest request;
  request.role = role;
  request.bag = role == LabelRole::field_tag ? "" : k_trial_bag;
  request.number = number;
  request.serial = std::string(8, '0');
  request.code_text = write_link_code({.collection_key = k_trial_key,
                                       .role = role,
                                       .subject = request.bag,
                                       .number = number,
                                       .number_is_opaque = false,
                                       .ordinal = 1,
                                       .serial = request.serial,
                                       .revision = 1});
  request.fields = {{"bag", role == LabelRole::field_tag ? "" : group_identity(k_trial_bag)}};
  const std::vector<std::string>& chosen = standard.carrier_design(role).fields;
  const bool chooses = role == LabelRole::bag || role == LabelRole::tag;
  if (!chooses || std::ranges::find(chosen, "repository") != chosen.end())
    request.fields.push_back({"repository", standard.repository});
  if (role == LabelRole::field_tag)
    for (const std::string& name : standard.field_tag.fields)
      if (name != "number" && name != "bag" && name != "repository") request.fields.push_back({name, ""});
  if (role == LabelRole::removal_slip)
    for (const char* name : {"taken_by", "put_back"}) request.fields.push_back({name, ""});
  return request;
}

SheetHeader header_of(const HouseStandard& standard, LabelRole role) {
  SheetHeader header{
      "R-000-00000", sheet_title(role), standard.repository, k_trial_date, sheet_instructions(standard, role), {}};
  header.made = {"by " + std::string(16, 'n'), "station 000", "ledger 0000, event 100000, 0123456789abcdef"};
  if (role == LabelRole::artifact) {
    header.cautions = standard.cautions;
    header.cautions.insert(header.cautions.begin(),
                           soak_standing({}, "", standard.artifact_stock.material, k_trial_date).text);
  }
  return header;
}

void draw_carriers(const HouseStandard& standard, const std::vector<CarrierLabelRequest>& requests) {
  const Placements placements = lay_out_carrier_labels(requests, standard, "");
  (void)draw_page(placements, requests, header_of(standard, requests.front().role), standard, 1, k_trial_dpi);
}

void draw_artifact(const HouseStandard& standard, const Number& number) {
  const Placements placements =
      lay_out_artifact_labels(std::vector<ArtifactLabelRequest>{{number, number.text()}}, standard, "");
  for (const int page : {1, placements.pages + 1})  // the cutting list, too
    (void)draw_page(placements, {}, header_of(standard, LabelRole::artifact), standard, page, k_trial_dpi);
}

// What is refused of a sheet, of which role.
template <typename Draw>
void must_be_drawn(LabelRole role, const std::string& file, const Draw& draw) {
  try {
    draw();
  } catch (const Error& error) {
    if (error.family() != ErrorFamily::data) throw;
    throw data_error(fmt::format("no {} could be drawn by this house standard: {}", to_lower_ascii(sheet_title(role)),
                                 error.problem()),
                     {.file = file}, error.remedy());
  }
}

template <typename Draw>
void may_be_drawn(LabelRole role, const std::string& number, std::vector<std::string>& refused, const Draw& draw) {
  try {
    draw();
  } catch (const Error& error) {
    if (error.family() != ErrorFamily::data) throw;
    refused.push_back(fmt::format("{} of numbers as long as {} will be refused: {}", sheet_title(role),
                                  printable(number), error.problem()));
  }
}

Number number_of(const Scheme& scheme, const std::string& text) {
  const auto parsed = scheme.parse(text);
  const auto* found = std::get_if<ParsedNumber>(&parsed);
  if (found == nullptr) throw internal_error(fmt::format("{} is no number of its own scheme.", text));
  return found->number;
}

}  // namespace

std::vector<std::string> try_standard(const HouseStandard& standard, const std::string& file) {
  using enum LabelRole;
  require_short_names(standard, file);
  require_characters(standard, file);
  require_thin_rule(standard.artifact, file);
  std::vector<std::string> refused;
  for (const Scheme& scheme : standard.schemes) {
    const std::string usual = scheme.example_number(), longest = scheme.longest_number();
    must_be_drawn(artifact, file, [&] { draw_artifact(standard, number_of(scheme, usual)); });
    may_be_drawn(artifact, longest, refused, [&] { draw_artifact(standard, number_of(scheme, longest)); });
    for (const LabelRole role : {bag, tag, removal_slip}) {
      must_be_drawn(role, file, [&] { draw_carriers(standard, {request_of(standard, role, usual)}); });
      may_be_drawn(role, longest, refused, [&] { draw_carriers(standard, {request_of(standard, role, longest)}); });
    }
  }
  const std::string field_number = standard.field_numbers.number(standard.field_numbers.largest);
  must_be_drawn(field_tag, file, [&] { draw_carriers(standard, {request_of(standard, field_tag, field_number)}); });
  for (const LabelRole role : {box, shelf})
    must_be_drawn(role, file, [&] { draw_carriers(standard, {request_of(standard, role, k_trial_bag)}); });
  must_be_drawn(action, file, [&] { draw_carriers(standard, action_cards(k_trial_key, standard.repository)); });
  must_be_drawn(divider, file,
                [&] { draw_carriers(standard, divider_cards(k_trial_key, standard.repository, 9'999, 1)); });
  return refused;
}

}  // namespace sherdmark
