// The placements file: exactly the keys of docs/formats/placements.md, and what a damaged file is answered.
#include "sherdmark/sheet/placement.h"

#include <gtest/gtest.h>

#include "sheet/sheet_samples.h"
#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

using namespace testing;  // NOLINT(google-build-using-namespace): the tests' own

Placements one_of_each() {
  Placements placements{
      .run = "R7KM00003", .page_width_mm = 215.9, .page_height_mm = 279.4, .dpi = 600, .pages = 1, .labels = {}};
  placements.labels.push_back({.page = 1,
                               .role = LabelRole::artifact,
                               .number = "16ZQ5/12.3",
                               .bag = std::nullopt,
                               .serial = std::nullopt,
                               .revision = 2,
                               .copy = 3,
                               .x_mm = 10.25,
                               .y_mm = 20.5,
                               .w_mm = 12.75,
                               .h_mm = 3.125,
                               .lines = {"16ZQ5/", "12.3"},
                               .font_pt = 5,
                               .code = std::nullopt});
  PlacedLabel bag = placements.labels[0];
  bag.role = LabelRole::bag;
  bag.bag = "7KM00001";
  bag.serial = "7KMP0001";
  bag.code = PlacedCode{SymbolFormat::qr, "SM1", 1.5, 2.5, 20.25, 33, 12};
  placements.labels.push_back(bag);
  return placements;
}

TEST(Placement, json_has_exactly_the_documented_keys) {
  EXPECT_EQ(write_placements_json(one_of_each()), R"({
 "schema": 1,
 "run": "R7KM00003",
 "page_mm": [
  215.9,
  279.4
 ],
 "dpi": 600,
 "pages": 1,
 "order": "strips",
 "least_widths_mm": 0.0,
 "labels": [
  {
   "page": 1,
   "role": "artifact",
   "number": "16ZQ5/12.3",
   "bag": null,
   "serial": null,
   "revision": 2,
   "copy": 3,
   "x_mm": 10.25,
   "y_mm": 20.5,
   "w_mm": 12.75,
   "h_mm": 3.125,
   "lines": [
    "16ZQ5/",
    "12.3"
   ],
   "font_pt": 5.0,
   "code": null,
   "stack": 0
  },
  {
   "page": 1,
   "role": "bag",
   "number": "16ZQ5/12.3",
   "bag": "7KM00001",
   "serial": "7KMP0001",
   "revision": 2,
   "copy": 3,
   "x_mm": 10.25,
   "y_mm": 20.5,
   "w_mm": 12.75,
   "h_mm": 3.125,
   "lines": [
    "16ZQ5/",
    "12.3"
   ],
   "font_pt": 5.0,
   "code": {
    "format": "qr",
    "text": "SM1",
    "x_mm": 1.5,
    "y_mm": 2.5,
    "size_mm": 20.25,
    "modules": 33,
    "module_dots": 12
   },
   "stack": 0
  }
 ]
}
)");
}

TEST(Placement, json_written_and_read_is_the_same_json) {
  for (const std::string& name : sample_standard_names()) {
    const HouseStandard standard = sample_standard(name);
    const std::string json =
        write_placements_json(lay_out_carrier_labels(sample_carriers(standard, LabelRole::bag, 9), standard, "R1"));
    EXPECT_EQ(write_placements_json(read_placements_json(json, "placements.json")), json);
  }
}

TEST(Placement, damaged_files_are_named_with_what_is_missing) {
  const std::string good = write_placements_json(one_of_each());
  const auto with = [&](const std::string& from, const std::string& to) {
    std::string text = good;
    text.replace(text.find(from), from.size(), to);
    return text;
  };
  struct Row {
    std::string json;
    std::string said;
  };
  const std::vector<Row> rows{
      {"", "not JSON"},
      {good.substr(0, good.size() / 2), "not JSON"},
      {"[]", "the document is not an object"},
      {with("\"schema\": 1", "\"schema\": 9"), "newer form"},
      {with("\"run\"", "\"rum\""), "the document has no \"run\""},
      {with("\"copy\": 3", "\"copy\": \"three\""), "label 1 has a \"copy\" that is no whole number"},
      {with("\"x_mm\": 10.25", "\"x_mm\": null"), "label 1 has a \"x_mm\" that is no length"},
      {with("\"x_mm\": 10.25", "\"x_mm\": 1e300"), "label 1 has a \"x_mm\" that is no length"},
      {with("\"page\": 1", "\"page\": 7"), "label 1 is on a page that does not exist"},
      {with("\"role\": \"bag\"", "\"role\": \"sack\""), "label 2 has an unknown role"},
      {with("\"format\": \"qr\"", "\"format\": \"qx\""), "label 2, code has the unknown format"},
      {with("\"12.3\"\n", "12.3\n"), "label 1 has a line that is no text"},
  };
  for (const Row& row : rows) {
    try {
      (void)read_placements_json(row.json, "p.json");
      FAIL() << "no error: " << row.said;
    } catch (const Error& error) {
      EXPECT_EQ(error.exit_code(), 3);
      EXPECT_NE(std::string{error.what()}.find(row.said), std::string::npos) << error.what();
      EXPECT_NE(std::string{error.what()}.find("p.json"), std::string::npos) << error.what();
    }
  }
}

}  // namespace
}  // namespace sherdmark
