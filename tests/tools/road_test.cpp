// The whole road with each sample standard: catalog in, labels out, and the record that is left.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "tools/bench.h"

namespace sherdmark::testing {
namespace {

using Json = nlohmann::json;

class Road : public ::testing::TestWithParam<Sample> {
 protected:
  Json json(std::vector<std::string> arguments) {
    arguments.push_back("--json");
    const ToolRun result = bench_.expect(0, arguments);
    Json document = Json::parse(result.out, nullptr, false);
    EXPECT_FALSE(document.is_discarded()) << result.out;
    EXPECT_EQ(document.value("schema", 0), 1);
    return document;
  }

  Bench bench_;
};

INSTANTIATE_TEST_SUITE_P(Samples, Road, ::testing::ValuesIn(small_samples()),
                         [](const auto& row) { return row.param.name; });

TEST_P(Road, init_says_what_the_standard_demands) {
  const Json made = json({"init", "--standard", sample(GetParam().standard).string()});
  EXPECT_EQ(made["ledger"], "@/collection.ledger");
  EXPECT_EQ(made["collection"].get<std::string>().size(), 4U);
  for (const Json& scheme : made["schemes"]) {
    EXPECT_FALSE(scheme["longest_number"].get<std::string>().empty());
    EXPECT_GT(scheme["carrier_code"]["bag_mm"], 10.0);
    EXPECT_GT(scheme["artifact_label"]["w_mm"], 2.0);
  }
  const ToolRun again = bench_.expect(4, {"init", "--standard", sample(GetParam().standard).string()});
  EXPECT_NE(again.err.find("@/collection.ledger"), std::string::npos) << again.err;
}

TEST_P(Road, a_catalog_taken_in_twice_changes_nothing_the_second_time) {
  start_collection(bench_, GetParam());
  const std::string before = bench_.read("collection.ledger");
  const Json again = json({"intake", "@/catalog.csv"});
  EXPECT_EQ(again["new"].size(), 0U);
  EXPECT_EQ(again["changed"].size(), 0U);
  EXPECT_EQ(again["unchanged"], 4);
  EXPECT_EQ(bench_.expect(0, {"history", GetParam().first_item}).out.find("intake"),
            bench_.expect(0, {"history", GetParam().first_item}).out.rfind("intake"));
}

TEST_P(Road, a_dry_run_shows_the_same_difference_and_writes_nothing) {
  bench_.write("catalog.csv", GetParam().catalog);
  bench_.expect(0, {"init", "--standard", sample(GetParam().standard).string()});
  const std::string before = bench_.read("collection.ledger");
  const Json dry = json({"intake", "@/catalog.csv", "--dry-run"});
  EXPECT_EQ(bench_.read("collection.ledger"), before);
  EXPECT_EQ(dry["taken_in"], nullptr);
  const Json real = json({"intake", "@/catalog.csv"});
  EXPECT_EQ(dry["new"], real["new"]);
  EXPECT_EQ(real["taken_in"]["new"], 4);
}

TEST_P(Road, the_plan_says_for_each_item_which_label_and_why) {
  start_collection(bench_, GetParam());
  const Json plan = json({"plan"});
  ASSERT_EQ(plan["items"].size(), 4U);
  for (const Json& item : plan["items"]) {
    EXPECT_FALSE(item["reason"].get<std::string>().empty()) << item;
    if (item["number"] == GetParam().metal_item) {
      EXPECT_EQ(item["decision"], "tag only");
    }
  }
  std::int64_t bulk = 0;
  for (const Json& label : plan["artifact_labels"]) {
    EXPECT_NE(label["item"], GetParam().metal_item);
    if (label["number"] == GetParam().bulk_item) bulk += label["bags"][0]["copies"].get<std::int64_t>();
  }
  EXPECT_GT(bulk, 0);
  EXPECT_LT(bulk, 60);  // a sample of them
  EXPECT_EQ(plan["carrier_labels"].size(), 8U);
  EXPECT_EQ(json({"plan"})["stored"]["new"], 0);
}

TEST_P(Road, labels_are_written_where_asked_and_nowhere_else) {
  start_collection(bench_, GetParam());
  bench_.expect(0, {"plan"});
  for (const std::string role : {"artifact", "bag", "tag"}) {
    const std::set<std::string> before = bench_.files();
    const Json run = json({"labels", "--for", role + "s", "--out", "@/sheets", "--preview-dpi", "72"});
    EXPECT_EQ(run["state"], "generated");
    const std::string stem = "sheets/" + role + "-" + run["run"].get<std::string>();
    std::set<std::string> expected = before;
    expected.insert({stem + ".pdf", stem + ".json", stem + "-page-1.png"});
    if (role == "artifact") expected.insert(stem + ".cutting.json");
    EXPECT_EQ(bench_.files(), expected);
    EXPECT_EQ(bench_.read(stem + ".pdf").substr(0, 5), "%PDF-");
    const Json placements = Json::parse(bench_.read(stem + ".json"));
    EXPECT_EQ(placements["labels"].size(), run["labels"]);
    EXPECT_EQ(placements["run"], run["run"]);
  }
  EXPECT_EQ(bench_.expect(2, {"labels", "--for", "tags", "--out", "@/sheets"}).out, "");  // nothing is due any more
}

TEST_P(Road, the_same_collection_gives_the_same_bytes) {
  Bench other;
  std::string pdfs[2];
  Bench* benches[] = {&bench_, &other};
  for (int i = 0; i < 2; ++i) {
    start_collection(*benches[i], GetParam());
    benches[i]->expect(0, {"plan"});
    benches[i]->expect(0, {"labels", "--for", "bags", "--out", "@/sheets"});
    for (const std::string& file : benches[i]->files())
      if (file.ends_with(".pdf")) pdfs[i] = benches[i]->read(file);
  }
  EXPECT_FALSE(pdfs[0].empty());
  EXPECT_EQ(pdfs[0], pdfs[1]);
}

TEST_P(Road, a_person_confirms_the_pages_and_reprints_those_that_came_out_badly) {
  start_collection(bench_, GetParam());
  bench_.expect(0, {"plan"});
  const Json run = json({"labels", "--for", "bags", "--out", "@/sheets"});
  const std::string id = run["run"];
  EXPECT_EQ(json({"printed", id})["confirmed_now"], 4);
  EXPECT_EQ(json({"printed", id})["confirmed_now"], 0);  // once is enough
  const Json again = json({"labels", "--reprint", id, "--pages", "1", "--out", "@/sheets"});
  EXPECT_EQ(again["reprint_of"], id);
  EXPECT_EQ(again["labels"], 4);
  const std::string stem = "sheets/bag-";
  const Json first = Json::parse(bench_.read(stem + id + ".json"));
  const Json second = Json::parse(bench_.read(stem + again["run"].get<std::string>() + ".json"));
  for (std::size_t i = 0; i < 4; ++i) {
    EXPECT_NE(first["labels"][i]["serial"], second["labels"][i]["serial"]);
    EXPECT_EQ(first["labels"][i]["revision"], second["labels"][i]["revision"]);
  }
  const std::string old_serial = first["labels"][0]["serial"];
  EXPECT_EQ(json({"show", old_serial})["print"]["state"], "spoiled");
}

TEST_P(Road, show_and_history_know_items_bags_runs_and_serials) {
  start_collection(bench_, GetParam());
  bench_.expect(0, {"plan"});
  const Json run = json({"labels", "--for", "bags", "--out", "@/sheets"});
  const Json item = json({"show", GetParam().first_item});
  EXPECT_EQ(item["item"]["object"], "bowl");
  const std::string bag = item["item"]["bags"][0];
  EXPECT_EQ(json({"show", bag})["bag"]["contents"][0]["item"], GetParam().first_item);
  EXPECT_EQ(json({"show", run["run"]})["run"]["role"], "bag");
  for (const std::string& name : {GetParam().first_item, bag, run["run"].get<std::string>()}) {
    const Json history = json({"history", name});
    EXPECT_FALSE(history["events"].empty()) << name;
    for (const Json& event : history["events"]) {
      EXPECT_EQ(event["person"], "R. Quill");
      EXPECT_EQ(event["time"], "2031-05-04T13:45:10Z");
    }
  }
  EXPECT_EQ(bench_.expect(1, {"show", "nothing of ours"}).err,
            "sherdmark: nothing in this ledger is called \"nothing of ours\".\n");
}

TEST_P(Road, the_exported_catalog_reads_back_to_the_same_records) {
  start_collection(bench_, GetParam());
  bench_.expect(0, {"export", "--out", "@/copy.csv"});
  const Json again = json({"intake", "@/copy.csv"});
  EXPECT_EQ(again["changed"].size(), 0U) << again["changed"];
  EXPECT_EQ(again["unchanged"], 4);
}

TEST_P(Road, restricted_columns_leave_only_when_asked_and_asking_is_recorded) {
  start_collection(bench_, GetParam());
  const auto events = [&] { return bench_.expect(0, {"export", "events", "--with-restricted"}).out; };
  const std::string before = events();
  bench_.expect(0, {"export", "--with-restricted", "--out", "@/all.csv"});
  EXPECT_NE(events().find("\"kind\":\"exported\"", before.size()), std::string::npos);
}

}  // namespace
}  // namespace sherdmark::testing
