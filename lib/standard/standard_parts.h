// The steps of reading a house standard, each for a few sections, and the checks across sections.
#pragma once

#include <string>
#include <string_view>

#include "section_reader.h"
#include "sherdmark/standard/house_standard.h"

namespace sherdmark {

// Everything parse_house_standard does, but leaves the problems and the keys it asked for in `notes`.
[[nodiscard]] HouseStandard read_standard(std::string_view toml_text, const std::string& file_name,
                                          StandardNotes& notes);

void read_schemes(SectionReader& root, HouseStandard& standard, StandardNotes& notes);
void read_columns(SectionReader& root, HouseStandard& standard, StandardNotes& notes);
void read_rules(SectionReader& root, HouseStandard& standard, StandardNotes& notes);
void read_bench_advice(SectionReader& root, HouseStandard& standard);
void read_designs(SectionReader& root, HouseStandard& standard, StandardNotes& notes);
void read_stocks(SectionReader& root, HouseStandard& standard);
void read_field_numbers(SectionReader section, HouseStandard& standard);
// The stock that the design names: the die's size, whether it fits, and the edges on which nothing may be printed.
void put_on_stock(SectionReader section, CarrierDesign& design, const HouseStandard& standard);

// Words that may stand in CarrierDesign::fields.
[[nodiscard]] const std::vector<std::string>& carrier_field_names();

}  // namespace sherdmark
