// A house standard that restricts columns which other outputs are made of, from the beginning or only later on.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "tools/bench.h"

namespace sherdmark::testing {
namespace {

using Json = nlohmann::json;

// Every cell that may be restricted here holds a word that stands nowhere else.
class RestrictedColumns : public ::testing::Test {
 protected:
  static constexpr const char* k_secret = "ZWQX";

  RestrictedColumns() {
    bench_.write("catalog.csv",
                 "Cat. No.,Acc #,Site,Type,Description,Material,Qty,Max Dim (mm),Unit,Bag(s),Box,Home\r\n"
                 "16ZQ5/12.66,2031.4,16ZQ5,artifact,ZWQXobject,ZWQXmaterial,1,82,ZWQXunit,B1,ZWQXbox 1,"
                 "Store/ZWQXplace 1\r\n"
                 "16ZQ5/12.67,2031.4,16ZQ5,artifact,ZWQXobject,ZWQXmaterial,1,82,ZWQXunit,B2,ZWQXbox 2,"
                 "Store/ZWQXplace 2\r\n");
  }

  // The sample's standard of Quillow Ferry: `field` is restricted, and no bag label asks for it.
  void write_standard(const std::string& name, const std::string& field, const std::string& version) {
    std::string text = read_text(real_file_system(), sample("standards/quillow_ferry.toml"));
    replace(text, "version = \"2031-03\"", "version = \"" + version + "\"");
    replace(text, "\n" + field + " = \"public\"", "");
    replace(text, "[column_classes]", "[column_classes]\n" + field + " = \"location-restricted\"");
    const std::size_t fields = text.find("fields = ", text.find("[bag_label]"));
    const std::string shown = ", \"" + field + "\"";
    if (const std::size_t at = text.find(shown, fields); at < text.find('\n', fields)) text.erase(at, shown.size());
    bench_.write(name, text);
  }
  void begin_restricted(const std::string& field) {
    write_standard("standard.toml", field, "2031-03");
    begin(bench_.path("standard.toml").string());
  }
  void begin(const std::string& standard) {
    bench_.expect(0, {"init", "--standard", standard});
    bench_.expect(0, {"intake", "@/catalog.csv"});
    bench_.expect(0, {"plan"});
  }
  void restrict_later(const std::string& field) {
    write_standard("stricter.toml", field, "2031-04");
    bench_.expect(0, {"standard", "--adopt", "@/stricter.toml"});
  }

  std::string bag_of(const std::string& item) {
    return Json::parse(bench_.expect(0, {"show", item, "--json"}).out)["item"]["bags"][0];
  }
  std::string make(const std::string& role) {
    return Json::parse(bench_.expect(0, {"labels", "--for", role, "--out", "@/sheets", "--json"}).out)["run"];
  }
  ToolRun discreet(const std::string& secret, const std::vector<std::string>& arguments) {
    ToolRun result = bench_.run(arguments);
    EXPECT_EQ(result.out.find(k_secret + secret), std::string::npos)
        << ::testing::PrintToString(arguments) << result.out;
    EXPECT_EQ(result.err.find(k_secret + secret), std::string::npos)
        << ::testing::PrintToString(arguments) << result.err;
    return result;
  }
  // In a file the tool wrote; of a PDF its text (judge: pdftotext).
  bool stands_in(const std::string& file, const std::string& secret) const {
    std::string text = bench_.read(file);
    if (file.ends_with(".pdf")) text = run({"pdftotext", bench_.path(file).string(), "-"}).out;
    EXPECT_FALSE(text.empty()) << file;
    return text.find(k_secret + secret) != std::string::npos;
  }
  void expect_in_no_file_under(const std::string& folder, const std::string& secret) {
    int looked = 0;
    for (const std::string& file : bench_.files()) {
      if (!file.starts_with(folder)) continue;
      ++looked;
      EXPECT_FALSE(stands_in(file, secret)) << file;
    }
    EXPECT_GT(looked, 0);
  }

  void expect_off_the_box_list(const std::string& secret) {
    for (const char* form : {"--json", "--csv"}) EXPECT_EQ(discreet(secret, {"box-list", form}).code, 0);
    EXPECT_EQ(discreet(secret, {"box-list", "--out", "@/lists"}).code, 0);
    expect_in_no_file_under("lists/", secret);
  }

  Bench bench_;

 private:
  static void replace(std::string& text, const std::string& what, const std::string& with) {
    if (const std::size_t at = text.find(what); at != std::string::npos) text.replace(at, what.size(), with);
  }
};

TEST_F(RestrictedColumns, what_an_object_is_stays_off_the_list_in_its_box) {
  begin_restricted("object");
  expect_off_the_box_list("object");
  EXPECT_TRUE(stands_in("lists/box-lists.csv", "material"));
}

TEST_F(RestrictedColumns, what_an_object_is_made_of_stays_off_the_list_in_its_box) {
  begin_restricted("material");
  expect_off_the_box_list("material");
  EXPECT_TRUE(stands_in("lists/box-lists.csv", "object"));
}

TEST_F(RestrictedColumns, what_a_thing_belongs_to_and_was_called_is_not_shown) {
  for (const auto& [field, word] : {std::pair{"assembly", "ZWQXassembly"}, std::pair{"former_numbers", "ZWQXformer"}}) {
    if (bench_.files().contains("collection.ledger")) std::filesystem::remove(bench_.path("collection.ledger"));
    begin_restricted(field);
    bench_.expect(0, {"assembly", "ZWQXassembly", "--add", "16ZQ5/12.66,16ZQ5/12.67", "--reason", "one bowl"});
    bench_.write("former.csv", "Old,New\r\nZWQXformer 8,16ZQ5/12.66\r\n");
    bench_.expect(0, {"concordance", "@/former.csv", "--former", "Old", "--number", "New"});
    for (const std::vector<std::string>& form : {std::vector<std::string>{"show"}, {"show", "--json"}}) {
      std::vector<std::string> line = form;
      line.emplace_back("16ZQ5/12.66");
      EXPECT_EQ(bench_.expect(0, line).out.find(word), std::string::npos) << ::testing::PrintToString(line);
    }
  }
}

TEST_F(RestrictedColumns, boxes_leave_with_the_bags_only_by_a_recorded_export) {
  begin_restricted("box");
  EXPECT_EQ(discreet("box", {"export", "bags"}).code, 0);
  EXPECT_EQ(discreet("box", {"backup", "--archive", "@/handed-on"}).code, 0);
  EXPECT_FALSE(stands_in("handed-on/bags.csv", "box"));
  EXPECT_TRUE(stands_in("handed-on/bags.csv", "place"));
  EXPECT_NE(bench_.expect(0, {"export", "bags", "--with-restricted"}).out.find("ZWQXbox 1"), std::string::npos);
}

TEST_F(RestrictedColumns, a_move_tells_no_place_that_was_not_given) {
  begin_restricted("place");
  const std::string bag = bag_of("16ZQ5/12.66");
  EXPECT_EQ(discreet("place", {"move", bag, "--box", "ZWQXbox 2"}).code, 0);
  EXPECT_EQ(discreet("place", {"move", bag, "--box", "ZWQXbox 1", "--json"}).code, 0);
  const ToolRun slip = discreet("place", {"move", bag, "--to", "Store/ZWQplace 1"});
  EXPECT_EQ(slip.code, 2);
  EXPECT_NE(slip.err.find("knows no place"), std::string::npos) << slip.err;
}

TEST_F(RestrictedColumns, a_column_restricted_later_is_not_printed_from_an_older_plan) {
  begin(sample("standards/quillow_ferry.toml").string());
  const std::string run = make("bags");
  EXPECT_TRUE(stands_in("sheets/bag-" + run + ".pdf", "unit")) << "the secret was there";
  restrict_later("unit");
  for (const std::vector<std::string>& line : std::vector<std::vector<std::string>>{
           {"labels", "--reprint", run, "--out", "@/later"}, {"labels", "--for", "tags", "--out", "@/later"}}) {
    const ToolRun refused = bench_.expect(2, line);
    EXPECT_NE(refused.err.find("before the house standard restricted what it shows. Plan again"), std::string::npos)
        << refused.err;
  }
  bench_.expect(0, {"plan"});
  bench_.expect(0, {"labels", "--for", "bags", "--out", "@/later"});
  bench_.expect(0, {"labels", "--for", "tags", "--out", "@/later"});
  expect_in_no_file_under("later/", "unit");
}

TEST_F(RestrictedColumns, a_place_a_box_and_a_site_restricted_later_are_not_printed_again) {
  begin(sample("standards/quillow_ferry.toml").string());
  const std::vector<std::pair<std::string, std::string>> runs{
      {"place", make("shelves")}, {"place", make("boxes")}, {"site", make("tags")}};
  for (const auto& [field, run] : runs) {
    restrict_later(field);
    const ToolRun refused = bench_.expect(2, {"labels", "--reprint", run, "--out", "@/later"});
    EXPECT_NE(refused.err.find("Plan again"), std::string::npos) << refused.err;
  }
}

TEST_F(RestrictedColumns, a_stricter_standard_stops_no_reprint_of_what_may_be_shown) {
  begin(sample("standards/quillow_ferry.toml").string());
  const std::string bags = make("bags");
  const std::string shelves = make("shelves");
  restrict_later("surface");
  bench_.expect(0, {"labels", "--reprint", bags, "--out", "@/later"});
  bench_.expect(0, {"labels", "--reprint", shelves, "--out", "@/later"});
}

TEST_F(RestrictedColumns, a_column_restricted_later_does_not_leave_with_the_text_of_older_labels) {
  begin(sample("standards/quillow_ferry.toml").string());
  EXPECT_NE(bench_.expect(0, {"export", "labels"}).out.find("ZWQXunit"), std::string::npos) << "the secret was there";
  restrict_later("unit");
  const ToolRun labels = discreet("unit", {"export", "labels"});
  EXPECT_NE(labels.out.find("object: ZWQXobject"), std::string::npos) << labels.out;
  EXPECT_EQ(discreet("unit", {"backup", "--archive", "@/handed-on"}).code, 0);
  EXPECT_FALSE(stands_in("handed-on/labels.csv", "unit"));
  EXPECT_NE(bench_.expect(0, {"export", "labels", "--with-restricted"}).out.find("ZWQXunit"), std::string::npos);
}

}  // namespace
}  // namespace sherdmark::testing
