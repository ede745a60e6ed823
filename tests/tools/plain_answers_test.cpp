// What the tool answers where people slip: words typed from habit, names nearly right, files named without quotation
// marks, and much that is wrong at once.
#include <gtest/gtest.h>

#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "sherdmark/code/link_code.h"
#include "tools/bench.h"

namespace sherdmark::testing {
namespace {

using Json = nlohmann::json;

bool has(const std::string& text, std::string_view words) { return text.find(words) != std::string::npos; }

TEST(PlainAnswers, a_soak_test_goes_by_a_printer_that_is_known) {
  Bench bench;
  start_collection(bench, small_samples()[1]);
  const auto record = [](const std::string& printer) {
    return std::vector<std::string>{"soak-test", "record",     "--printer", printer,     "--toner",
                                    "black",     "--adhesive", "resin",     "--outcome", "passed"};
  };
  const ToolRun first = bench.expect(0, record("Front office"));
  EXPECT_TRUE(has(first.err, "Calibrate it under this very name, \"Front office\"")) << first.err;
  bench.expect(0, {"calibrate", "enter", "--printer", "Front office", "--measured", "175.9,239.4"});
  const ToolRun wrong = bench.expect(2, record("Front ofice"));
  EXPECT_TRUE(has(wrong.err, "there is no printer \"Front ofice\". Name one of \"Front office\"")) << wrong.err;
  EXPECT_EQ(bench.expect(0, record("Front office")).err, "");
}

TEST(PlainAnswers, an_inventory_in_which_nothing_was_read_is_not_closed_by_chance) {
  Bench bench;
  start_collection(bench, small_samples()[1]);
  bench.expect(0, {"inventory", "open"});
  const ToolRun refused = bench.expect(2, {"inventory", "close"});
  EXPECT_TRUE(has(refused.err, "nothing was read in the inventory V-")) << refused.err;
  EXPECT_TRUE(has(refused.err, "--nothing-read")) << refused.err;
  EXPECT_TRUE(has(bench.expect(0, {"inventory", "status"}).out, "still open"));
  bench.expect(1, {"inventory", "close", "--nothing-read"});
  EXPECT_TRUE(has(bench.expect(0, {"inventory", "status"}).out, "closed 2031-05-04 13:45 UTC by R. Quill"))
      << "times are written plainly";
}

TEST(PlainAnswers, many_problems_are_counted_by_kind_before_they_are_told_one_by_one) {
  Bench bench;
  start_collection(bench, small_samples()[1]);
  std::string rows = "Cat. No.,Acc #,Type,Description,Material,Qty\r\n";
  for (int i = 1; i <= 12; ++i) rows += fmt::format("16ZQ5/12.{},2031.4,artifact,bowl,ceramic,none\r\n", i);
  bench.write("many.csv", rows + "16ZQ5/12.40,2031.4,thing,bowl,ceramic,1\r\n");
  const ToolRun refused = bench.expect(3, {"intake", "@/many.csv"});
  EXPECT_TRUE(refused.out.starts_with("@/many.csv: 13 problems in 13 rows.\n       12 x column \"Qty\":"))
      << refused.out;
  EXPECT_TRUE(has(refused.out, "    1 x column \"Type\": This is no kind of item.")) << refused.out;
  bench.write("few.csv",
              "Cat. No.,Acc #,Type,Description,Material,Qty\r\n16ZQ5/12.1,2031.4,artifact,bowl,ceramic,x\r\n");
  EXPECT_TRUE(bench.expect(3, {"intake", "@/few.csv"}).out.starts_with("@/few.csv, row 2"));
}

TEST(PlainAnswers, a_file_with_spaces_in_its_name_is_recognised_without_quotation_marks) {
  Bench bench;
  start_collection(bench, small_samples()[1]);
  bench.write("new finds 2031.csv", "Cat. No.\r\n");
  const ToolRun split = bench.run({"intake", "@/new", "finds", "2031.csv"});
  EXPECT_TRUE(has(split.err, "Did you mean \"@/new finds 2031.csv\"? A name with spaces stands in quotation marks."))
      << split.err;
  EXPECT_FALSE(has(bench.run({"intake", "@/none", "at", "all.csv"}).err, "Did you mean"));
}

TEST(PlainAnswers, choices_may_be_written_in_capitals_and_mean_the_same) {
  Bench bench;
  start_collection(bench, small_samples()[1]);
  bench.expect(0, {"soak-test", "Record", "--printer", "Front office", "--toner", "black", "--adhesive", "resin",
                   "--outcome", "Passed"});
  EXPECT_EQ(Json::parse(bench.expect(0, {"soak-test", "LIST", "--json"}).out)["soak_tests"][0]["passed"], true);
  bench.expect(0, {"audit", "draw", "--unit", "Item", "--size", "1"});
  EXPECT_EQ(Json::parse(bench.expect(0, {"audit", "LIST", "--json"}).out)["audits"][0]["design"]["unit"], "item");
  EXPECT_EQ(bench.expect(0, {"export", "BAGS"}).out, bench.expect(0, {"export", "bags"}).out);
  bench.expect(0, {"calibrate", "page", "--paper", "Carrier", "--out", "@/a"});
  bench.expect(0, {"calibrate", "page", "--paper", "carrier", "--out", "@/b"});
  EXPECT_EQ(
      std::filesystem::directory_iterator { bench.path("a") } -> path().filename(),
      std::filesystem::directory_iterator { bench.path("b") } -> path().filename());
}

void start_with_one_box(Bench& bench) {
  Sample sample = small_samples()[1];
  sample.catalog =
      "Cat. No.,Acc #,Type,Description,Material,Qty,Max Dim (mm),Bag(s),Box,Home\r\n"
      "16ZQ5/12.66,2031.4,artifact,bowl,ceramic,1,82,B1,K1,Store/Shelf 1\r\n";
  start_collection(bench, sample);
}

TEST(PlainAnswers, a_box_may_be_named_as_its_list_names_it) {
  Bench bench;
  start_with_one_box(bench);
  const std::string head = bench.expect(0, {"box-list", "K1"}).out;
  ASSERT_TRUE(head.starts_with("Box K1 (")) << head;
  EXPECT_EQ(bench.expect(0, {"box-list", "Box K1"}).out, head);
  EXPECT_EQ(bench.expect(0, {"box-list", "box K1"}).out, head);
}

// Typed with zeros too many it was planned, and "labels" wrote print after print until somebody stopped it.
TEST(PlainAnswers, a_count_beyond_all_sense_is_named_and_makes_no_labels) {
  Bench bench;
  Sample sample = small_samples()[1];
  const std::string head = "Cat. No.,Acc #,Type,Description,Material,Surface/Condition,Qty,Max Dim (mm),Bag(s)\r\n";
  sample.catalog = head + "16ZQ5/12.66,2031.4,artifact,bowl,ceramic,sound,1,82,B1\r\n";
  start_collection(bench, sample);
  bench.write("most.csv", head + "16ZQ5/12.68,2031.4,artifact,bead,ceramic,sound,10000,40,\r\n" +
                              "16ZQ5/12.69,2031.4,artifact,bead,ceramic,sound,10001,40,\r\n");
  bench.expect(0, {"intake", "@/most.csv"});
  const ToolRun most = bench.expect(0, {"plan", "--dry-run"});
  EXPECT_FALSE(has(most.out, "16ZQ5/12.68 should get")) << most.out;
  EXPECT_TRUE(has(most.out, "16ZQ5/12.69 should get 10001 artifact labels")) << most.out;
  bench.write("typo.csv", head + "16ZQ5/12.67,2031.4,artifact,bead,ceramic,sound,1000000000,40,B2\r\n");
  const ToolRun taken = bench.expect(0, {"intake", "@/typo.csv"});
  EXPECT_TRUE(has(taken.out,
                  "@/typo.csv, row 2, column \"Qty\": warning: \"1000000000\": This is a count of more than "
                  "100000 pieces in one row. See whether it is right."))
      << taken.out;
  const ToolRun plan = bench.expect(0, {"plan"});
  EXPECT_TRUE(has(plan.out,
                  "Warning: 16ZQ5/12.67 should get 1000000000 artifact labels, more than the 10000 that are made for "
                  "one item: it gets a tag only. Put its count right in the catalog, or take it in as bulk."))
      << plan.out;
  EXPECT_EQ(Json::parse(bench.expect(0, {"labels", "--for", "artifacts", "--out", "@/s", "--json"}).out)["labels"],
            10'001);
}

TEST(PlainAnswers, box_lists_name_the_files_they_wrote) {
  Bench bench;
  start_with_one_box(bench);
  EXPECT_FALSE(has(bench.expect(0, {"box-list"}).out, "Written"));
  const std::string text = bench.expect(0, {"box-list", "--out", "@/l"}).out;
  EXPECT_TRUE(has(text, "Written:\n  @/l/box-list-")) << text;
  EXPECT_TRUE(has(text, "\n  @/l/box-lists.csv\n")) << text;
  EXPECT_EQ(Json::parse(bench.expect(0, {"box-list", "--out", "@/l", "--json"}).out)["files"].size(), 2U);
  EXPECT_EQ(Json::parse(bench.expect(0, {"box-list", "--json"}).out)["files"].size(), 0U);
}

TEST(PlainAnswers, a_place_that_is_refused_is_not_called_new) {
  Bench bench;
  start_collection(bench, small_samples()[1]);
  const std::string bag =
      Json::parse(bench.expect(0, {"show", small_samples()[1].first_item, "--json"}).out)["item"]["bags"][0];
  const ToolRun refused = bench.expect(2, {"move", bag, "--to", "/", "--new-place"});
  EXPECT_TRUE(has(refused.err, "this is not a place")) << refused.err;
  EXPECT_FALSE(has(refused.err, "new place")) << refused.err;
  EXPECT_TRUE(
      has(bench.expect(0, {"move", bag, "--to", "Attic", "--new-place"}).err, "the ledger has it as a new place"));
}

TEST(PlainAnswers, the_bench_list_names_the_page_it_wrote) {
  Bench bench;
  start_collection(bench, small_samples()[1]);
  bench.expect(0, {"plan"});
  const std::string run =
      Json::parse(bench.expect(0, {"labels", "--for", "artifacts", "--out", "@/s", "--json"}).out)["run"];
  EXPECT_TRUE(
      has(bench.expect(0, {"bench", "list", run, "--out", "@/bench.pdf"}).out, "As a page to work from: @/bench.pdf"));
  EXPECT_EQ(Json::parse(bench.expect(0, {"bench", "list", run, "--json"}).out)["file"], nullptr);
  EXPECT_EQ(Json::parse(bench.expect(0, {"bench", "list", run, "--out", "@/bench.pdf", "--json"}).out)["file"],
            "@/bench.pdf");
}

TEST(PlainAnswers, binding_anew_says_from_where_to_where_and_what_the_old_tag_is_worth) {
  Bench bench;
  Sample sample = small_samples()[1];
  sample.catalog += "16ZQ5/13.1,2031.4,artifact,bowl,ceramic,sound,1,82,N10E20,3,B5\r\n";
  start_collection(bench, sample);
  bench.expect(0, {"reserve", "block", "--crew", "Landing", "--from", "FS 401", "--count", "2"});
  bench.expect(0, {"reserve", "issue", "FS 401..FS 402"});
  const Json run = Json::parse(bench.expect(0, {"labels", "--for", "field-tags", "--out", "@/s", "--json"}).out);
  bench.expect(0, {"printed", run["run"]});
  EXPECT_TRUE(has(bench.expect(0, {"show", "FS 401"}).out, "Field tag in force: "));
  bench.write("log.csv", "FS#,Lot\r\nFS 401,16ZQ5/12\r\n");
  bench.expect(0, {"bind", "@/log.csv"});
  bench.write("log.csv", "FS#,Lot\r\nFS 401,16ZQ5/13\r\n");
  bench.expect(3, {"bind", "@/log.csv"});
  const std::string words = "@/log.csv, row 2: FS 401: this number is bound to 16ZQ5/12 already; it ";
  EXPECT_TRUE(
      has(bench.expect(0, {"bind", "@/log.csv", "--rebind", "--dry-run"}).out, words + "would go to 16ZQ5/13."));
  const std::string bound = bench.expect(0, {"bind", "@/log.csv", "--rebind"}).out;
  EXPECT_TRUE(has(bound, words + "went to 16ZQ5/13.")) << bound;
  EXPECT_TRUE(has(bound, "it goes out of use when the new goes in")) << bound;
  EXPECT_TRUE(has(bench.expect(0, {"show", "FS 401"}).out, "No field tag of it is in force."));
  const Json placed = Json::parse(bench.read("s/field-tag-" + run["run"].get<std::string>() + ".json"));
  const std::string shown = bench.expect(0, {"show", placed["labels"][0]["serial"]}).out;
  EXPECT_TRUE(has(shown, "superseded")) << shown;
  EXPECT_TRUE(has(shown, "Do not use it any more: a newer one stands for it, or is due.")) << shown;
}

TEST(PlainAnswers, the_code_of_a_label_says_what_to_show_as_well_as_the_name_on_it) {
  Bench bench;
  start_collection(bench, small_samples()[1]);
  bench.expect(0, {"plan"});
  const std::string run =
      Json::parse(bench.expect(0, {"labels", "--for", "tags", "--out", "@/s", "--json"}).out)["run"];
  const Json label = Json::parse(bench.read("s/tag-" + run + ".json"))["labels"][0];
  const std::string code = label["code"]["text"];
  const Json shown = Json::parse(bench.expect(0, {"show", code, "--json"}).out);
  EXPECT_EQ(shown["bag"]["id"], label["bag"]);
  EXPECT_EQ(shown["print"]["serial"], label["serial"]);
  EXPECT_EQ(bench.expect(0, {"history", code}).out, bench.expect(0, {"history", label["bag"]}).out);
  LinkCode other = *parse_code_text(code).link;
  other.collection_key = "ZZZZ";
  for (const char* command : {"show", "history"}) {
    const ToolRun refused = bench.expect(2, {command, write_link_code(other)});
    EXPECT_TRUE(has(refused.err, "this is a label of another collection, ZZZZ")) << refused.err;
  }
}

// A script whose variable was never set: "history" told everything there is, "override" listed and ended with 0.
TEST(PlainAnswers, an_empty_name_is_refused) {
  Bench bench;
  start_collection(bench, small_samples()[1]);
  for (const char* command : {"show", "history", "printed", "override", "assembly", "register"})
    for (const char* name : {"", "  "})
      EXPECT_TRUE(has(bench.expect(2, {command, name}).err, "an empty name was given")) << command;
}

TEST(PlainAnswers, an_assembly_that_cannot_be_changed_as_asked_is_not_changed_at_all) {
  Bench bench;
  Sample sample = small_samples()[1];
  sample.catalog += "16ZQ5/13.1,2031.4,artifact,bowl,ceramic,sound,1,82,N10E20,3,B5\r\n";
  start_collection(bench, sample);
  bench.expect(2,
               {"assembly", "Crock", "--add", "16ZQ5/13.1", "--remove", sample.first_item, "--reason", "other clay"});
  EXPECT_FALSE(has(bench.expect(0, {"assembly"}).out, "Crock"));
  bench.expect(0, {"verify-ledger"});
}

TEST(PlainAnswers, a_recount_of_a_bag_on_loan_says_so) {
  Bench bench;
  Sample sample = small_samples()[1];
  sample.catalog += "16ZQ5/13.1,2031.4,artifact,bowl,ceramic,sound,3,82,N10E20,3,B5\r\n";
  start_collection(bench, sample);
  const std::string bag = Json::parse(bench.expect(0, {"show", "16ZQ5/13.1", "--json"}).out)["item"]["bags"][0];
  const auto recount = [&](const char* pieces) {
    return std::vector<std::string>{"recount",  bag,    "--item",   "16ZQ5/13.1",
                                    "--pieces", pieces, "--reason", "one broke"};
  };
  EXPECT_FALSE(has(bench.expect(0, recount("4")).out, "on loan"));
  bench.expect(0, {"loan", "lend", bag, "--to", "Museum of the Invented Coast"});
  const std::string said = bench.expect(0, recount("5")).out;
  EXPECT_TRUE(has(said, "This bag is on loan: whoever has it must have counted it.")) << said;
}

TEST(PlainAnswers, a_field_log_is_counted_with_the_rows_that_could_not_be_read) {
  Bench bench;
  start_collection(bench, small_samples()[1]);
  bench.expect(0, {"reserve", "block", "--crew", "Landing", "--from", "FS 401", "--count", "2"});
  bench.expect(0, {"reserve", "issue", "FS 401..FS 402"});
  bench.write("log.csv", "FS#,Lot\r\nFS 401,16ZQ5/12\r\n,16ZQ5/12\r\nFS 402,no lot\r\n");
  EXPECT_TRUE(has(bench.expect(3, {"bind", "@/log.csv"}).out, "@/log.csv: 2 problems in 3 rows; nothing was bound."));
  EXPECT_EQ(Json::parse(bench.expect(3, {"bind", "@/log.csv", "--json"}).out)["rows"], 3);
}

// The sheet was printed twice, and of the two runs the one that is not in force any more is confirmed.
TEST(PlainAnswers, a_run_of_which_nothing_waits_is_not_said_to_be_confirmed) {
  Bench bench;
  start_collection(bench, small_samples()[1]);
  bench.expect(0, {"plan"});
  const auto run = [&](std::vector<std::string> arguments) {
    arguments.insert(arguments.end(), {"--out", "@/s", "--json"});
    return Json::parse(bench.expect(0, arguments).out)["run"].get<std::string>();
  };
  const std::string first = run({"labels", "--for", "bags"}), again = run({"labels", "--reprint", first});
  const std::string said = bench.expect(0, {"printed", first}).out;
  EXPECT_TRUE(has(said, ": nothing there waits to be confirmed; 0 of ")) << said;
  EXPECT_TRUE(has(said, "sherdmark spares " + first)) << said;
  EXPECT_TRUE(has(bench.expect(0, {"printed", again}).out, " confirmed as printed, "));
  EXPECT_FALSE(has(bench.expect(0, {"printed", again}).out, "spares"));
}

TEST(PlainAnswers, lines_left_out_on_purpose_are_a_finding_and_those_that_stop_all_are_bad_data) {
  Bench bench;
  start_collection(bench, small_samples()[1]);
  bench.expect(0, {"inventory", "open"});
  const std::string bag =
      Json::parse(bench.expect(0, {"show", small_samples()[1].first_item, "--json"}).out)["item"]["bags"][0];
  bench.write("scans.txt", bag + "\nplace Nowhere at all\n");
  bench.expect(3, {"inventory", "scans", "@/scans.txt"});
  EXPECT_EQ(Json::parse(bench.expect(0, {"inventory", "status", "--json"}).out)["totals"]["seen"], 0);
  bench.expect(1, {"inventory", "scans", "@/scans.txt", "--skip-bad"});
  EXPECT_EQ(Json::parse(bench.expect(0, {"inventory", "status", "--json"}).out)["totals"]["seen"], 1);
}

TEST(PlainAnswers, sessions_with_a_scanner_know_help_and_quit) {
  Bench bench;
  start_collection(bench, small_samples()[1]);
  bench.answer("help\nquit\nEND\n");
  const std::string scan = bench.expect(0, {"scan"}).out;
  EXPECT_TRUE(has(scan, "WHAT CAN BE SAID")) << scan;
  EXPECT_TRUE(has(scan, "Type END to end the session. Ctrl-D leaves it open")) << scan;
  EXPECT_FALSE(has(scan, "NOT OURS")) << scan;
  bench.expect(0, {"inventory", "open"});
  bench.answer("?\nexit\n");
  const std::string inventory = bench.run({"inventory", "scan"}).out;
  EXPECT_TRUE(has(inventory, "WHAT CAN BE SAID")) << inventory;
  EXPECT_TRUE(has(inventory, "TO STOP")) << inventory;
}

}  // namespace
}  // namespace sherdmark::testing
