#include "standard_keys.h"

#include <algorithm>

namespace sherdmark {
namespace {

using enum KeyType;
constexpr double k_largest_integer = 1e15;

// clang-format off
const std::vector<KeySpec> k_keys{
    {"standard.name", text, "-", "required"},
    {"standard.version", text, "-", "required"},
    {"standard.repository", text, "-", "required"},
    {"standard.default_scheme", text, "-", "required"},
    {"standard.date_order", choice, "-", "required", 0, 0, "ymd|mdy|dmy"},
    {"standard.bagging", choice, "-", "one bag per item", 0, 0, "one bag per item|one bag per lot|by column"},
    {"standard.drying_hours", whole, "h", "12", 0, 720},
    {"standard.required_columns", texts, "-", "number"},
    {"standard.care_flags", texts, "-", "human_remains, funerary, sacred"},
    {"standard.cautions", texts, "-", "none"},

    {"scheme[].name", text, "-", "required"},
    {"scheme[].part[].name", text, "-", "required"},
    {"scheme[].part[].kind", choice, "-", "required", 0, 0, "trinomial|year|integer|letters|one of|free"},
    {"scheme[].part[].level", choice, "-", "item", 0, 0, "site|accession|lot|item|piece"},
    {"scheme[].part[].separator", text, "-", "none"},
    {"scheme[].part[].optional", boolean, "-", "false"},
    {"scheme[].part[].smallest", whole, "-", "1", 0, k_largest_integer},
    {"scheme[].part[].largest", whole, "-", "9999", 0, k_largest_integer},
    {"scheme[].part[].digits", whole, "digits", "0", 0, 15},
    {"scheme[].part[].shortest", whole, "characters", "1", 1, 64},
    {"scheme[].part[].longest", whole, "characters", "1", 1, 64},
    {"scheme[].part[].alphabet", text, "-", "none"},
    {"scheme[].part[].choices", texts, "-", "none"},
    {"scheme[].part[].states", texts, "-", "none"},
    {"scheme[].part[].suffix_letters", text, "-", "none"},

    {"accessions.*", text, "-", "none"},
    {"columns.*", text, "-", "none"},
    {"column_classes.*", choice, "-", "internal", 0, 0, "public|internal|location-restricted|care-restricted"},

    {"rule[].name", text, "-", "required"},
    {"rule[].kinds", texts, "-", "none"},
    {"rule[].materials", texts, "-", "none"},
    {"rule[].surfaces", texts, "-", "none"},
    {"rule[].any_flag", texts, "-", "none"},
    {"rule[].at_least_mm", length, "mm", "none", 0, 10000},
    {"rule[].under_mm", length, "mm", "none", 0, 10000},
    {"rule[].size_unknown", boolean, "-", "false"},
    {"rule[].label", choice, "-", "required", 0, 0, "direct|tag only|never"},
    {"rule[].numbering", choice, "-", "shared", 0, 0, "shared|sub-numbered"},
    {"rule[].sample_percent", decimal, "%", "100", 0, 100},
    {"rule[].sample_least", whole, "pieces", "1", 1, 1000000},
    {"rule[].reason", text, "-", "required"},
    {"rule[].caution", text, "-", "none"},

    {"artifact_paper.name", text, "-", "required"},
    {"artifact_paper.width_mm", length, "mm", "required", 50, 1000},
    {"artifact_paper.height_mm", length, "mm", "required", 50, 1000},
    {"artifact_paper.margin_left_mm", length, "mm", "6.35", 0, 100},
    {"artifact_paper.margin_right_mm", length, "mm", "6.35", 0, 100},
    {"artifact_paper.margin_top_mm", length, "mm", "6.35", 0, 100},
    {"artifact_paper.margin_bottom_mm", length, "mm", "6.35", 0, 100},
    {"artifact_paper.material", text, "-", "required"},
    {"carrier_paper.name", text, "-", "required"},
    {"carrier_paper.width_mm", length, "mm", "required", 50, 1000},
    {"carrier_paper.height_mm", length, "mm", "required", 50, 1000},
    {"carrier_paper.margin_left_mm", length, "mm", "6.35", 0, 100},
    {"carrier_paper.margin_right_mm", length, "mm", "6.35", 0, 100},
    {"carrier_paper.margin_top_mm", length, "mm", "6.35", 0, 100},
    {"carrier_paper.margin_bottom_mm", length, "mm", "6.35", 0, 100},
    {"carrier_paper.material", text, "-", "required"},

    {"printer.dpi", whole, "dots per inch", "600", 300, 2400},
    {"printer.scale_x", decimal, "measured / nominal", "1", 0.9, 1.1},
    {"printer.scale_y", decimal, "measured / nominal", "1", 0.9, 1.1},
    {"printer.skew_deg", decimal, "degrees", "0", -5, 5},

    {"trimmer.gang", whole, "sheets", "8", 1, 100},
    {"trimmer.smallest_held_mm", length, "mm", "10", 0, 100},
    {"trimmer.most_slack_mm", length, "mm", "4", 0, 50},
    {"trimmer.stroke_seconds", decimal, "s", "6", 0.1, 600},
    {"trimmer.snip_seconds", decimal, "s", "3", 0.1, 600},
    {"trimmer.square_up_seconds", decimal, "s", "10", 0, 600},
    {"trimmer.sheet_seconds", decimal, "s", "60", 0, 3600},
    {"trimmer.keep_order", boolean, "-", "false"},

    {"artifact_label.font", text, "-", "required"},
    {"artifact_label.size_pt", decimal, "pt", "5", 4, 6},
    {"artifact_label.rule_mm", length, "mm", "0.15", 0.05, 0.5},
    {"artifact_label.trim_tolerance_mm", length, "mm", "0.5", 0.1, 3},
    {"artifact_label.widest_mm", length, "mm", "25", 5, 100},
    {"artifact_label.check_character", boolean, "-", "false"},
    {"artifact_label.micro_code", choice, "-", "none", 0, 0, "none|micro-qr|data-matrix"},
    {"artifact_label.micro_module_mm", length, "mm", "0.17", 0.16, 1},

    {"carrier_label.font", text, "-", "required"},
    {"bag_label.width_mm", length, "mm", "100", 20, 280},
    {"bag_label.height_mm", length, "mm", "60", 15, 280},
    {"bag_label.number_pt", decimal, "pt", "24", 8, 144},
    {"bag_label.text_pt", decimal, "pt", "9", 6, 36},
    {"bag_label.module_mm", length, "mm", "0.42", 0.42, 2},
    {"bag_label.fields", texts, "-", "required"},
    {"tag.width_mm", length, "mm", "70", 20, 280},
    {"tag.height_mm", length, "mm", "40", 15, 280},
    {"tag.number_pt", decimal, "pt", "18", 8, 144},
    {"tag.text_pt", decimal, "pt", "8", 6, 36},
    {"tag.module_mm", length, "mm", "0.33", 0.33, 2},
    {"tag.fields", texts, "-", "required"},

    {"agreement.bag", boolean, "-", "true"},
    {"agreement.tag", boolean, "-", "true"},
    {"agreement.artifacts", boolean, "-", "true"},
    {"agreement.read_margin", decimal, "the reader's score", "0", 0, 1000},
};
// clang-format on

}  // namespace

const std::vector<KeySpec>& standard_keys() { return k_keys; }

const KeySpec* find_key(std::string_view path) {
  const auto key = std::find_if(k_keys.begin(), k_keys.end(), [path](const KeySpec& k) { return k.path == path; });
  return key == k_keys.end() ? nullptr : &*key;
}

}  // namespace sherdmark
