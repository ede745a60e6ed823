// The roles beside artifact, bag and tag, through the tool: field numbers from the block to the lot, boxes, shelves,
// slips, cards, continued labels; and reprint, revise and void told apart.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "sherdmark/base/text.h"
#include "sherdmark/code/cards.h"
#include "tools/bench.h"

namespace sherdmark::testing {
namespace {

using Json = nlohmann::json;

class RolesOfTheTool : public ::testing::Test {
 protected:
  // The sample collection with its own catalog.
  void start_quillow_ferry() {
    bench_.expect(0, {"init", "--standard", sample("standards/quillow_ferry.toml").string()});
    bench_.expect(0, {"intake", sample("quillow_ferry/catalog.csv").string()});
  }

  Json json(std::vector<std::string> arguments, int code = 0) {
    arguments.emplace_back("--json");
    const ToolRun result = bench_.expect(code, arguments);
    Json document = Json::parse(result.out, nullptr, false);
    EXPECT_FALSE(document.is_discarded()) << result.out;
    return document;
  }

  // Labels of a role, drawn into a folder; the placements.
  Json labels(const std::vector<std::string>& arguments) {
    std::vector<std::string> all{"labels", "--out", "@/sheets"};
    all.insert(all.end(), arguments.begin(), arguments.end());
    const Json run = json(all);
    last_run_ = run.value("run", "");
    for (const Json& file : run["files"]) {
      const std::string name = file.get<std::string>();
      if (name.ends_with(".json") && !name.ends_with(".cutting.json"))
        return Json::parse(bench_.read(name.substr(2)), nullptr, false);
    }
    ADD_FAILURE() << "no placements";
    return {};
  }

  LinkCode code_of(const Json& label) { return parse_code_text(label["code"]["text"].get<std::string>()).link.value(); }

  // What poppler finds on the pages of the last run, or of the cards.
  std::string page_text(const std::string& pdf) {
    return testing::run({"pdftotext", "-layout", bench_.path("sheets/" + pdf).string(), "-"}).out;
  }

  Bench bench_;
  std::string last_run_;
};

TEST_F(RolesOfTheTool, field_numbers_go_from_the_block_to_the_tag_to_the_lot) {
  start_quillow_ferry();
  const Json block = json({"reserve", "block", "--crew", "Landing crew", "--from", "401"});
  EXPECT_EQ(block["changed"].size(), 25U) << "as the standard says";
  EXPECT_EQ(block["changed"].front(), "FS 401");
  EXPECT_EQ(json({"reserve", "block", "--crew", "Trench crew", "--count", "25"})["changed"].front(), "FS 426")
      << "behind the last";
  bench_.expect(2, {"reserve", "block", "--crew", "Trench crew", "--from", "420"});
  bench_.expect(0, {"reserve", "issue", "401-410, FS 426..FS 430"});
  bench_.expect(2, {"reserve", "issue", "401"});
  bench_.expect(2, {"reserve", "spoiled", "409"});
  bench_.expect(0, {"reserve", "spoiled", "409", "--reason", "torn"});
  bench_.expect(0, {"reserve", "lost", "410", "--reason", "in the river"});

  const Json tags = labels({"--for", "field-tags", "--only", "401-403"});
  ASSERT_EQ(tags["labels"].size(), 3U);
  EXPECT_EQ(code_of(tags["labels"][0]).number, "FS 401");
  EXPECT_EQ(code_of(tags["labels"][0]).role, LabelRole::field_tag);
  EXPECT_EQ(labels({"--for", "field-tags"})["labels"].size(), 10U) << "the spoiled and the lost one get none";
  bench_.expect(2, {"labels", "--for", "field-tags", "--only", "409", "--out", "@/sheets"});

  const ToolRun fits = bench_.expect(0, {"bind", sample("quillow_ferry/field_log.csv").string(), "--dry-run"});
  EXPECT_NE(fits.out.find("8 rows, all fit; nothing was bound"), std::string::npos) << fits.out;
  EXPECT_EQ(json({"bind", sample("quillow_ferry/field_log.csv").string()})["bound"], 8);
  EXPECT_EQ(json({"bind", sample("quillow_ferry/field_log.csv").string()})["bound"], 0) << "twice is once";
  bench_.expect(2, {"reserve", "returned", "401", "--reason", "not used"});
  const ToolRun list = bench_.expect(0, {"reserve", "list", "--crew", "Landing crew"});
  EXPECT_NE(list.out.find("reserved     15  FS 411 to FS 425"), std::string::npos) << list.out;
  EXPECT_NE(list.out.find("bound         6  FS 401 to FS 406"), std::string::npos) << list.out;
  EXPECT_NE(list.out.find("spoiled       1  FS 409"), std::string::npos) << list.out;
  EXPECT_EQ(bench_.expect(0, {"show", "fs404"}).out,
            "FS 404 is a field number, bound to lot 16ZQ5/3.\n"
            "  From the block of Landing crew.\n"
            "  No field tag of it is in force.\n");
  EXPECT_EQ(bench_.expect(0, {"show", "FS 408"}).out,
            "FS 408 is a field number.\n  Issued, not bound to a lot yet.\n  From the block of Landing crew.\n"
            "  No field tag of it is in force.\n");
  EXPECT_NE(bench_.expect(0, {"show", "FS 409"}).out.find("Spoiled, and never used again."), std::string::npos);
  EXPECT_EQ(json({"show", "FS 411"})["standing"]["state"], "Reserved, not issued yet.");
  EXPECT_FALSE(json({"history", "fs-404"})["events"].empty());
  EXPECT_EQ(bench_.expect(0, {"reserve", "list", "--crew", "Night crew"}).out, "No block belongs to \"Night crew\".\n");
}

TEST_F(RolesOfTheTool, a_log_kept_badly_is_told_whole_and_binds_nothing) {
  start_quillow_ferry();
  bench_.expect(0, {"reserve", "block", "--crew", "Landing crew", "--from", "401"});
  bench_.expect(0, {"reserve", "block", "--crew", "Trench crew"});
  bench_.expect(0, {"reserve", "issue", "401-410,426-430"});
  const std::string before = bench_.expect(0, {"reserve"}).out;
  const Json told = json({"bind", sample("quillow_ferry/field_log_damaged.csv").string()}, 3);
  std::string text;
  for (const Json& problem : told["problems"])
    text += std::to_string(problem["row"].get<int>()) + ": " + problem["what"].get<std::string>() + "\n";
  EXPECT_EQ(text,
            "11: This is no number of the house standard's schemes.\n"
            "12: The row has no field number.\n"
            "3: one number for two lots: row 2 gives it to 16ZQ5/1\n"
            "5: this number stands in row 4 too\n"
            "6: this number was never issued\n"
            "7: this number was never reserved\n"
            "8: this number is from the block of Trench crew\n"
            "9: lot 16ZQ5/5 has another level here than in row 8\n"
            "10: the ledger has no lot 16ZQ5/77\n"
            "13: this number is bound to 16ZQ5/1 already\n");
  EXPECT_EQ(bench_.expect(0, {"reserve"}).out, before);
}

TEST_F(RolesOfTheTool, binding_again_is_an_event_and_puts_the_printed_tag_out_of_force) {
  start_quillow_ferry();
  bench_.expect(0, {"reserve", "block", "--crew", "Landing crew", "--from", "401"});
  bench_.expect(0, {"reserve", "issue", "401"});
  (void)labels({"--for", "field-tags"});
  bench_.write("log.csv", "FS#,Lot\nFS 401,16ZQ5/1\n");
  bench_.expect(0, {"bind", "@/log.csv"});
  bench_.write("log.csv", "FS#,Lot\nFS 401,16ZQ5/2\n");
  bench_.expect(3, {"bind", "@/log.csv"});
  const Json again = json({"bind", "@/log.csv", "--rebind"});
  EXPECT_EQ(again["rebound"], 1);
  EXPECT_EQ(again["prints_superseded"], 1);
  EXPECT_EQ(labels({"--for", "field-tags"})["labels"][0]["revision"], 2) << "the tag is made anew";
  for (const char* name : {"FS 401", "16ZQ5/1", "16ZQ5/2"})
    EXPECT_NE(bench_.expect(0, {"history", name}).out.find("FS 401 was bound to lot 16ZQ5/2, no longer to 16ZQ5/1."),
              std::string::npos)
        << name;
  bench_.expect(0, {"verify-ledger"});
}

TEST_F(RolesOfTheTool, boxes_and_shelves_get_labels_once_and_anew_when_their_home_changes) {
  start_quillow_ferry();
  const Json boxes = labels({"--for", "boxes"});
  ASSERT_EQ(boxes["labels"].size(), 4U);
  const LinkCode code = code_of(boxes["labels"][2]);
  EXPECT_EQ(code.role, LabelRole::box);
  EXPECT_EQ(code.number, "Box 3");
  const std::string text = page_text("box-" + last_run_ + ".pdf");
  EXPECT_NE(text.find("Store / Room 4 / Cabinet 1 / Drawer 1"), std::string::npos) << text;
  bench_.expect(2, {"labels", "--for", "boxes", "--out", "@/sheets"});
  bench_.expect(0, {"move", "Box 3", "--to", "Store/Room 2/Range B/Shelf 1", "--home"});
  const Json moved = labels({"--for", "boxes"});
  ASSERT_EQ(moved["labels"].size(), 1U) << "only the one whose home changed";
  EXPECT_EQ(moved["labels"][0]["number"], "Box 3");
  EXPECT_EQ(moved["labels"][0]["revision"], 2);

  const Json shelves = labels({"--for", "shelves", "--only", "Store/Room 2/Range A/Shelf 1"});
  ASSERT_EQ(shelves["labels"].size(), 1U);
  EXPECT_EQ(code_of(shelves["labels"][0]).number, "Store/Room 2/Range A/Shelf 1");
  EXPECT_EQ(shelves["labels"][0]["number"], "Shelf 1");
  EXPECT_EQ(labels({"--for", "shelves"})["labels"].size(), 3U);
  bench_.expect(2, {"labels", "--for", "shelves", "--only", "Store/Room 9", "--out", "@/sheets"});
}

TEST_F(RolesOfTheTool, cards_are_drawn_without_a_run_and_carry_the_collections_own_codes) {
  start_quillow_ferry();
  const std::string before = bench_.read("collection.ledger");
  const Json cards = labels({"--for", "action-cards"});
  ASSERT_EQ(cards["labels"].size(), 5U);
  std::vector<ScanAction> actions;
  for (const Json& card : cards["labels"]) actions.push_back(action_of(code_of(card)).value());
  std::ranges::sort(actions);
  EXPECT_EQ(actions, all_scan_actions());
  const Json dividers = labels({"--for", "dividers", "--count", "3", "--first", "7"});
  ASSERT_EQ(dividers["labels"].size(), 3U);
  EXPECT_EQ(divider_set(code_of(dividers["labels"][0])), "7");
  EXPECT_NE(page_text("dividers-7-9.pdf").find("Set 9"), std::string::npos);
  EXPECT_EQ(bench_.read("collection.ledger"), before) << "nothing about cards is kept";
}

// Three acts that look alike and are not: the same copy again, a new text, and never again.
TEST_F(RolesOfTheTool, reprint_revise_and_void_are_three_different_acts_and_spares_are_accounted_for) {
  start_collection(bench_, small_samples()[1]);
  bench_.expect(0, {"plan"});
  const Json first = labels({"--for", "bags"});
  const std::string run = last_run_;
  const std::string serial = first["labels"][0]["serial"], bag = first["labels"][0]["bag"];
  bench_.expect(0, {"printed", run});

  const Json again = labels({"--reprint", run, "--pages", "1"});
  const std::string second_run = last_run_;
  ASSERT_EQ(again["labels"].size(), first["labels"].size());
  EXPECT_EQ(again["labels"][0]["revision"], 1) << "a reprint keeps the revision";
  EXPECT_NE(again["labels"][0]["serial"], serial) << "and has a serial of its own";
  EXPECT_NE(bench_.expect(0, {"show", serial}).out.find("spoiled"), std::string::npos);

  const std::string second = again["labels"][0]["serial"];
  const Json revised = json({"revise", "--for", "bags", bag, "--reason", "stratum corrected"});
  EXPECT_EQ(revised["revision"], 2);
  EXPECT_EQ(revised["prints_superseded"], 1);
  EXPECT_NE(bench_.expect(0, {"show", second}).out.find("superseded"), std::string::npos);
  bench_.expect(2, {"revise", "--for", "bags", bag, "--reason", " "});
  bench_.expect(0, {"plan"});
  const Json due = labels({"--for", "bags"});
  ASSERT_EQ(due["labels"].size(), 1U) << "only the revised one is due";
  EXPECT_EQ(due["labels"][0]["revision"], 2);

  const std::string third = first["labels"][1]["bag"], copy = again["labels"][1]["serial"];
  bench_.expect(0, {"void", copy, "--reason", "glued on the wrong bag"});
  EXPECT_NE(bench_.expect(0, {"show", copy}).out.find("void"), std::string::npos);
  const Json replaced = labels({"--for", "bags"});
  ASSERT_EQ(replaced["labels"].size(), 1U);
  EXPECT_EQ(replaced["labels"][0]["bag"], third);
  EXPECT_EQ(replaced["labels"][0]["revision"], 1) << "void forbids a copy; the label stays as it was";
  const ToolRun rest = bench_.expect(0, {"labels", "--reprint", second_run, "--out", "@/sheets"});
  EXPECT_NE(rest.err.find("2 of 4 labels are not made again: void, superseded by a newer one, or not needed any more."),
            std::string::npos)
      << rest.err;

  const Json tags = labels({"--for", "tags", "--spares", "1"});
  EXPECT_EQ(tags["labels"].size(), 8U) << "two of each of four";
  const Json account = json({"spares", last_run_});
  EXPECT_EQ(account["generated"], 8);
  EXPECT_EQ(account["spares"].size(), 4U);
  const Json after = json({"spares", last_run_, "--destroyed"});
  EXPECT_EQ(after["destroyed_now"], 4);
  EXPECT_EQ(after["spoiled"], 4);
  EXPECT_TRUE(after["spares"].empty());
  bench_.expect(2, {"labels", "--for", "tags", "--out", "@/sheets"});
}

TEST_F(RolesOfTheTool, a_removal_slip_is_made_once_from_the_record_of_a_loan) {
  start_collection(bench_, small_samples()[1]);
  bench_.expect(0, {"plan"});
  bench_.expect(2, {"labels", "--for", "removal-slips", "--out", "@/sheets"});
  const std::string bag = labels({"--for", "bags"})["labels"][0]["bag"];
  for (const char* slip : {"@/collection.ledger", "@"})  // said before the loan is kept, not after
    bench_.expect(
        4, {"loan", "lend", bag, "--to", "Museum of the Invented Coast", "--until", "2031-12-01", "--slip", slip});
  bench_.expect(0, {"loan", "lend", bag, "--to", "Museum of the Invented Coast", "--until", "2031-12-01"});
  const Json slips = labels({"--for", "removal-slips"});
  ASSERT_EQ(slips["labels"].size(), 1U);
  EXPECT_EQ(code_of(slips["labels"][0]).subject, bag);
  EXPECT_EQ(code_of(slips["labels"][0]).role, LabelRole::removal_slip);
  const std::string text = page_text("removal-slip-" + last_run_ + ".pdf");
  for (const char* words : {"Museum of the Invented Coast", "2031-12-01", "2031-05-04", "16ZQ5/12.66"})
    EXPECT_NE(text.find(words), std::string::npos) << words << text;
  bench_.expect(2, {"labels", "--for", "removal-slips", "--out", "@/sheets"});
}

TEST_F(RolesOfTheTool, a_bag_with_more_than_a_label_holds_gets_a_continued_one_and_a_second_plan_changes_nothing) {
  std::string rows = "Cat. No.,Acc #,Type,Description,Material,Qty,Bag(s)\r\n";
  for (int i = 1; i <= 45; ++i)
    rows += "16ZQ5/12." + std::to_string(i) + ",2031.4,artifact,body sherd with a cordmarked surface,ceramic,1,B1\r\n";
  bench_.write("catalog.csv", rows);
  bench_.expect(0, {"init", "--standard", sample("standards/quillow_ferry.toml").string()});
  bench_.expect(0, {"intake", "@/catalog.csv"});
  bench_.expect(0, {"plan"});
  const Json bags = labels({"--for", "bags"});
  ASSERT_GE(bags["labels"].size(), 2U);
  for (std::size_t i = 0; i < bags["labels"].size(); ++i) {
    EXPECT_EQ(code_of(bags["labels"][i]).ordinal, static_cast<int>(i) + 1);
    EXPECT_EQ(bags["labels"][i]["bag"], bags["labels"][0]["bag"]);
  }
  const std::string text = page_text("bag-" + last_run_ + ".pdf");
  EXPECT_NE(text.find("label 1 of " + std::to_string(bags["labels"].size())), std::string::npos) << text;
  EXPECT_NE(text.find("16ZQ5/12.45"), std::string::npos);
  bench_.expect(0, {"plan"});
  bench_.expect(2, {"labels", "--for", "bags", "--out", "@/sheets"});
}

}  // namespace
}  // namespace sherdmark::testing
