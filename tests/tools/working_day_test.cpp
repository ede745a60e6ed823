// A day at the bench and in the stores, command by command: applying, drying, closing; moving, splitting, lending,
// renumbering; what each makes stale and what the queue prints.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "tools/bench.h"

namespace sherdmark::testing {
namespace {

using Json = nlohmann::json;

class WorkingDay : public ::testing::Test {
 protected:
  WorkingDay() {
    start_collection(bench_, small_samples()[1]);
    bench_.expect(0, {"plan"});
  }

  Json json(int code, std::vector<std::string> arguments) {
    arguments.push_back("--json");
    const ToolRun result = bench_.expect(code, arguments);
    Json document = Json::parse(result.out, nullptr, false);
    EXPECT_FALSE(document.is_discarded()) << result.out << result.err;
    return document;
  }

  // A run of labels, confirmed as printed.
  Json printed(const std::string& role) {
    const Json run = json(0, {"labels", "--for", role, "--out", "@/sheets"});
    bench_.expect(0, {"printed", run["run"]});
    return run;
  }
  Json placements(const std::string& role, const Json& run) {
    return Json::parse(bench_.read("sheets/" + role + "-" + run["run"].get<std::string>() + ".json"));
  }
  std::string bag_of(const std::string& item) { return json(0, {"show", item})["item"]["bags"][0]; }
  // The words of a page, by poppler.
  std::string run_pdf(const std::string& name) {
    const auto result = run({"pdftotext", "-layout", bench_.path(name).string(), "-"});
    EXPECT_EQ(result.exit_code, 0) << result.err;
    return result.out;
  }
  void at(const std::string& time) { bench_.clock().set(parse_time(time)); }

  Bench bench_;
  const std::string bowl_ = "16ZQ5/12.66", sherds_ = "16ZQ5/12.67", jar_ = "16ZQ5/12.69";
};

TEST_F(WorkingDay, the_bench_list_names_every_copy_with_place_adhesive_and_caution_in_a_stable_order) {
  const std::string run = printed("artifacts")["run"];
  Json list = json(0, {"bench", "list", run, "--out", "@/bench.pdf"});
  EXPECT_EQ(list["file"], "@/bench.pdf");
  list["file"] = nullptr;
  EXPECT_EQ(list["copies"]["waiting"].get<int>(), 1 + 6 + 3) << list["copies"];
  for (const Json& line : list["lines"]) {
    EXPECT_FALSE(line["place"].get<std::string>().empty());
    EXPECT_FALSE(line["never"].get<std::string>().empty());
    EXPECT_FALSE(line["adhesive"].get<std::string>().empty());
    EXPECT_FALSE(line["caution"].get<std::string>().empty());
  }
  EXPECT_EQ(list, json(0, {"bench", "list", run}));
  const ToolRun text = bench_.expect(0, {"bench", "list", run});
  EXPECT_NE(text.out.find("16 hours before anything is bagged"), std::string::npos) << text.out;
  const auto paper = run_pdf("bench.pdf");
  for (const char* words : {"Bench list", "16ZQ5/12.66", "Before you start", "Non-porous", "page 1 of"})
    EXPECT_NE((paper + text.out).find(words), std::string::npos) << words << "\n" << paper;
}

TEST_F(WorkingDay, a_bag_is_closed_when_its_labels_are_dry_and_earlier_only_with_a_reason) {
  printed("artifacts");
  const std::string bag = bag_of(sherds_);
  at("2031-05-05T09:00:00Z");
  EXPECT_EQ(json(0, {"bench", "applied", sherds_, "--copies", "6"})["serials"].size(), 6U);
  bench_.expect(2, {"bench", "applied", sherds_});  // none is left
  at("2031-05-05T12:00:00Z");
  const Json drying = json(0, {"bench", "drying", bag});
  EXPECT_EQ(drying["bags"][0]["dry_from"], "2031-05-06T01:00:00Z") << "16 hours, by the standard";
  EXPECT_FALSE(drying["bags"][0]["may_be_bagged"].get<bool>());
  EXPECT_NE(bench_.expect(0, {"show", bag}).out.find("may be closed from 2031-05-06 01:00 UTC"), std::string::npos);
  EXPECT_FALSE(json(1, {"bench", "bagged", bag})["closed"].get<bool>());
  EXPECT_EQ(json(0, {"bench", "drying", bag})["bags"][0]["bagged"], nullptr);
  EXPECT_TRUE(json(1, {"bench", "bagged", bag, "--reason", "flood in the room"})["closed"].get<bool>());
  EXPECT_NE(bench_.expect(0, {"history", bag}).out.find("closed early: flood in the room"), std::string::npos);
  at("2031-05-06T01:00:00Z");
  const Json closed = json(0, {"bench", "bagged", bag});
  EXPECT_TRUE(closed["closed"].get<bool>());
  EXPECT_FALSE(closed["early"].get<bool>());
}

TEST_F(WorkingDay, a_sheet_closes_only_when_every_copy_is_accounted_for) {
  const std::string run = printed("artifacts")["run"];
  const Json open = json(1, {"bench", "close", run});
  EXPECT_EQ(open["left_over"].size(), 5U) << open;  // bowl, sherds, three pieces of the jar
  Json left = json(0, {"bench", "list", run});
  std::vector<std::string> pieces;
  for (const Json& line : left["lines"])
    if (line["item"] == jar_) pieces.push_back(line["number"]);
  ASSERT_EQ(pieces.size(), 3U);
  bench_.answer(bowl_ + "\n" + pieces[0] + "\nnothing of ours\n" + pieces[1] + "\n");
  const ToolRun typed = bench_.expect(1, {"bench", "applied", "-"});
  EXPECT_NE(typed.err.find("nothing of ours"), std::string::npos) << typed.err;
  bench_.expect(0, {"bench", "filed", pieces[2], "--reason", "piece is at the conservator's"});
  bench_.expect(0, {"bench", "applied", sherds_, "--copies", "4"});
  EXPECT_EQ(json(1, {"bench", "close", run})["left_over"][0]["copies"]["waiting"], 2);
  bench_.expect(0, {"bench", "destroyed", sherds_, "--copies", "2"});
  EXPECT_TRUE(json(0, {"bench", "close", run})["closed"].get<bool>());
  EXPECT_TRUE(json(0, {"bench", "close", run})["was_closed"].get<bool>());
  bench_.expect(0, {"bench", "applied", pieces[2]});  // a filed copy may be applied later
  bench_.expect(0, {"verify-ledger"});
}

TEST_F(WorkingDay, each_act_says_which_prints_it_makes_stale_and_the_queue_prints_them_again) {
  printed("bags");
  printed("tags");
  const std::string bag = bag_of(sherds_);
  const Json split = json(0, {"split", bag, "--item", sherds_, "--pieces", "20", "--reason", "too full"});
  EXPECT_EQ(split["stale"].size(), 2U) << split;
  const std::string made = split["into"];
  EXPECT_EQ(json(0, {"show", made})["bag"]["contents"][0]["quantity"], 20);
  EXPECT_EQ(json(0, {"show", bag})["bag"]["contents"][0]["quantity"], 40);
  const ToolRun queue = bench_.expect(0, {"labels", "--due", "--out", "@/queue"});
  for (const char* role : {"bag", "tag"})
    EXPECT_NE(queue.out.find(std::string{"@/queue/"} + role), std::string::npos) << queue.out;
  EXPECT_NE(queue.out.find("2 labels on 1 page"), queue.out.rfind("2 labels on 1 page"))
      << "of each role those of both bags";
  const Json nothing = json(0, {"labels", "--due", "--out", "@/queue"});
  EXPECT_EQ(nothing["runs"].size(), 0U) << "one document, also when nothing is due";
  EXPECT_NE(bench_.expect(0, {"labels", "--due", "--out", "@/queue"}).err.find("No label is due"), std::string::npos);

  EXPECT_EQ(json(0, {"recount", bag, "--item", sherds_, "--pieces", "39", "--reason", "refitted"})["stale"].size(), 2U);
  EXPECT_EQ(json(0, {"show", sherds_})["item"]["count"], "59");
  bench_.expect(0, {"combine", made, "--into", bag, "--reason", "one is enough"});
  EXPECT_EQ(json(0, {"show", bag})["bag"]["contents"][0]["quantity"], 59);
  const Json both = json(0, {"labels", "--due", "--out", "@/queue"});
  EXPECT_EQ(both["runs"].size(), 2U) << "bag and tag of the one that is left: " << both;
  bench_.expect(2, {"move", made, "--to", "Room 2"});  // it is retired
  bench_.expect(0, {"move", bag, "--to", "Room 2/Shelf 3", "--new-place", "--home"});
  bench_.expect(0, {"move", bag, "--to", "Photo studio", "--new-place", "--temporary", "--until", "2031-06-01"});
  const Json shown = json(0, {"show", bag})["bag"];
  EXPECT_EQ(shown["home"], "Room 2/Shelf 3");
  EXPECT_EQ(shown["now"], "Photo studio");
  bench_.expect(0, {"verify-ledger"});
}

TEST_F(WorkingDay, a_loan_leaves_with_its_list_and_comes_back_bag_by_bag) {
  const std::string one = bag_of(bowl_), two = bag_of(jar_);
  for (const char* written : {"soon", "2031-05", "31 Feb 2031"})
    EXPECT_EQ(bench_.expect(2, {"loan", "lend", one, "--to", "Museum", "--until", written}).err,
              "sherdmark: \"" + std::string{written} + "\" is no day. Write it like 2031-12-01.\n");
  const Json lent = json(
      0, {"loan", "lend", one, two, "--to", "Invented Coast Museum", "--until", "10 May 2031", "--slip", "@/loan.pdf"});
  const std::string paper = run_pdf("loan.pdf");
  for (const std::string& words : {std::string{"Invented Coast Museum"}, bowl_, std::string{"Received by"}})
    EXPECT_NE(paper.find(words), std::string::npos) << words << "\n" << paper;
  EXPECT_EQ(json(0, {"loan", "list"})["loans"][0]["until"], "2031-05-10");
  bench_.expect(0, {"loan", "list", lent["loan"], "--slip", "@/again.pdf"});
  EXPECT_EQ(run_pdf("again.pdf"), paper);
  EXPECT_NE(bench_.expect(2, {"loan", "list", "N-7KM-99999"}).err.find("there is no loan"), std::string::npos);
  bench_.expect(2, {"loan", "list", "--slip", "@/none.pdf"});
  EXPECT_FALSE(json(0, {"loan", "list"})["loans"][0]["overdue"].get<bool>());
  EXPECT_NE(json(0, {"show", one})["standing"]["loan"].get<std::string>().find("Invented Coast Museum"),
            std::string::npos);
  bench_.expect(2, {"move", one, "--to", "Room 2"});
  bench_.expect(2, {"split", one, "--item", bowl_, "--pieces", "1"});
  const Json slips = json(0, {"labels", "--due", "--out", "@/queue"})["runs"].back();
  EXPECT_NE(slips.dump().find("removal-slip-"), std::string::npos) << "a bag that left is due a slip: " << slips;
  bench_.expect(0, {"printed", slips["run"]});
  at("2031-05-11T09:00:00Z");
  EXPECT_TRUE(json(0, {"loan", "list"})["loans"][0]["overdue"].get<bool>());
  const Json back = json(0, {"loan", "return", lent["loan"], one});
  ASSERT_EQ(back["stale"].size(), 1U) << "its slip, and no other: " << back;
  EXPECT_EQ(back["stale"][0]["role"], "removal slip");
  EXPECT_EQ(json(0, {"loan", "list"})["loans"][0]["out"], Json::array({two}));
  bench_.expect(0, {"loan", "return", lent["loan"]});
  EXPECT_EQ(json(0, {"loan", "list"})["loans"][0]["out"].size(), 0U);
  EXPECT_NE(bench_.expect(2, {"loan", "return", lent["loan"]}).err.find("are back"), std::string::npos);
  bench_.expect(0, {"verify-ledger"});
}

TEST_F(WorkingDay, a_renumbered_item_keeps_its_past_and_its_old_number_leads_to_it) {
  printed("artifacts");
  printed("bags");
  bench_.expect(0, {"bench", "applied", bowl_});
  const Json act = json(0, {"renumber", bowl_, "--to", "16ZQ5/13.66", "--reason", "wrong lot"});
  EXPECT_EQ(act["stale"].size(), 2U) << act;  // the label on the bowl and the bag's
  EXPECT_EQ(json(0, {"show", bowl_})["number"]["items"], Json::array({"16ZQ5/13.66"}));
  EXPECT_EQ(json(0, {"show", "16ZQ5/13.66"})["item"]["object"], "bowl");
  EXPECT_NE(bench_.expect(0, {"show", "16ZQ5/13.66"}).out.find("Before it was 16ZQ5/12.66."), std::string::npos);
  const std::string past = bench_.expect(0, {"history", "16ZQ5/13.66"}).out;
  EXPECT_NE(past.find("Came in with"), std::string::npos) << past;
  EXPECT_NE(past.find("was renumbered 16ZQ5/13.66; the old number is kept as a former number: wrong lot"),
            std::string::npos)
      << past;
  bench_.expect(2, {"renumber", jar_, "--to", "16ZQ5/13.66", "--reason", "x"});  // taken
  const ToolRun reused = bench_.expect(2, {"renumber", jar_, "--to", bowl_, "--reason", "x"});
  EXPECT_NE(reused.err.find("was that of 16ZQ5/13.66 before"), std::string::npos) << reused.err;
  const Json queue = json(0, {"labels", "--due", "--out", "@/queue"});
  EXPECT_GE(queue["runs"].size(), 2U) << "one document for all roles: " << queue;
  for (const Json& run : queue["runs"]) EXPECT_FALSE(run["files"].empty()) << run;
  bench_.expect(0, {"verify-ledger"});
}

TEST_F(WorkingDay, a_recount_at_the_same_weight_needs_no_reason_and_everything_else_does) {
  const std::string bag = bag_of(sherds_);
  const auto recount = [&](std::vector<std::string> more) {
    more.insert(more.begin(), {"recount", bag, "--item", sherds_});
    return more;
  };
  const auto item = [&] { return json(0, {"show", sherds_})["item"]; };
  bench_.expect(2, recount({}));
  bench_.expect(2, recount({"--weight", "-3"}));
  EXPECT_EQ(json(0, recount({"--weight", "812.4"}))["changed"], "yes") << "the first weighing needs no reason";
  bench_.expect(2, recount({"--pieces", "61"}));
  bench_.expect(2, recount({"--weight", "700"}));
  const Json broken = json(0, recount({"--pieces", "61", "--weight", "808"}));  // within 1 %
  EXPECT_EQ(broken["weight_conserved"], "yes");
  EXPECT_EQ(item()["count"], "61");
  EXPECT_EQ(item()["weight_g"], "812.4") << "what was recorded stays";
  EXPECT_EQ(json(0, recount({"--pieces", "61", "--weight", "812.4"}))["changed"], "no");
  json(0, recount({"--pieces", "50", "--weight", "700", "--reason", "11 sherds went to the laboratory"}));
  EXPECT_EQ(item()["count"], "50");
  EXPECT_EQ(item()["weight_g"], "700");
  const std::string past = bench_.expect(0, {"history", sherds_}).out;
  EXPECT_NE(past.find("700.0 g, was 812.4 g; 50 pieces, were 61: 11 sherds went to the laboratory."), std::string::npos)
      << past;
  EXPECT_NE(past.find("the weight is the same: 808.0 g, recorded 812.4 g"), std::string::npos) << past;
  json(0, {"split", bag, "--item", sherds_, "--pieces", "20", "--reason", "too full"});
  bench_.expect(2, recount({"--weight", "400", "--reason", "half of them"}));  // the weight is that of both bags
  bench_.expect(0, {"verify-ledger"});
}

TEST_F(WorkingDay, an_old_number_that_is_in_use_is_reported_and_never_believed) {
  bench_.write("old.csv", "former number,number\n" + bowl_ + "," + jar_ + "\n16ZQ5/12.067," + jar_ + "\n");
  EXPECT_EQ(json(0, {"concordance", "@/old.csv"})["ambiguous"], Json::array({bowl_, "16ZQ5/12.067"}));
  EXPECT_EQ(json(0, {"show", bowl_})["number"]["formerly"], Json::array({jar_}));
  EXPECT_NE(bench_.expect(0, {"show", bowl_}).out.find("Before, it was the number of " + jar_), std::string::npos);
  EXPECT_EQ(json(0, {"show", "16ZQ5/12.067"})["number"]["items"], Json::array({jar_})) << "as it stands, it is old";
  const Json again = json(0, {"intake", "@/catalog.csv"});
  EXPECT_EQ(again["reused"].size(), 2U) << again["reused"];
  EXPECT_EQ(again["reused"][0]["number"], bowl_) << again["reused"];
}

TEST_F(WorkingDay, a_concordance_is_entered_whole_or_not_at_all_and_a_later_intake_leaves_it) {
  bench_.write("old.csv", "Old no.,Cat. No.\nM.14/2,16ZQ5/12.66\nM.14/3,16ZQ5/12.99\n");
  const ToolRun refused = bench_.expect(3, {"concordance", "@/old.csv", "--former", "Old no.", "--number", "Cat. No."});
  EXPECT_NE(refused.err.find("row 3"), std::string::npos) << refused.err;
  EXPECT_EQ(json(1, {"show", "M.14/2"})["number"], nullptr);
  bench_.write("old.csv", "Old no.,Cat. No.\nM.14/2,16ZQ5/12.66\nM.14/2,16ZQ5/12.67\nM.14/4,16ZQ5/12.69\n");
  const Json entered = json(0, {"concordance", "@/old.csv", "--former", "Old no.", "--number", "Cat. No."});
  EXPECT_EQ(entered["entered"], 3);
  EXPECT_EQ(entered["ambiguous"], Json::array({"M.14/2"}));
  EXPECT_EQ(json(0, {"concordance", "@/old.csv", "--former", "Old no.", "--number", "Cat. No."})["known"], 3);
  bench_.write("catalog2.csv", [&] {
    std::string text = bench_.read("catalog.csv");
    return text.replace(text.find("bowl"), 4, "dish");
  }());
  bench_.expect(0, {"intake", "@/catalog2.csv"});
  EXPECT_EQ(json(0, {"show", "M.14/4"})["number"]["items"], Json::array({jar_}));
  EXPECT_EQ(json(0, {"show", "M.14/2"})["number"]["items"].size(), 2U);
}

TEST_F(WorkingDay, a_late_restriction_voids_what_is_unapplied_and_lists_what_stays_on) {
  printed("artifacts");
  printed("bags");
  bench_.expect(0, {"bench", "applied", sherds_, "--copies", "2"});
  bench_.expect(2, {"restrict", sherds_, "--flag", "secret", "--reason", "x"});
  const Json late = json(1, {"restrict", sherds_, "--flag", "funerary", "--reason", "consultation of 4 May"});
  EXPECT_EQ(late["applied_do_not_remove_consult"].size(), 2U);
  EXPECT_EQ(late["void"].size(), 4U + 1U) << "the rest of the sheet, and the bag's label";
  bench_.expect(2, {"bench", "applied", sherds_});
  const Json list = json(0, {"bench", "list", bag_of(sherds_)});
  EXPECT_TRUE(list["withheld"].get<bool>());
  EXPECT_EQ(list["never_label"].size(), 1U);
  bench_.expect(0, {"plan"});
  const Json plan = json(0, {"plan"});
  EXPECT_FALSE(plan["carrier_labels"].empty());
  for (const Json& label : plan["carrier_labels"]) EXPECT_NE(label.at("bag"), bag_of(sherds_));
  bench_.expect(0, {"verify-ledger"});
}

TEST_F(WorkingDay, a_persons_restriction_outranks_every_later_catalog_until_a_person_lifts_it) {
  json(0, {"restrict", sherds_, "--flag", "funerary", "--reason", "consultation of 4 May"});
  const Json same = json(0, {"intake", "@/catalog.csv"});
  EXPECT_EQ(same["changed"].size(), 0U);
  ASSERT_EQ(same["kept"].size(), 1U);
  EXPECT_EQ(same["kept"][0]["number"], sherds_);
  EXPECT_EQ(same["kept"][0]["restricted_by"], "R. Quill");
  // Another change of the row comes in, the flag stays.
  std::string changed = bench_.read("catalog.csv");
  changed.replace(changed.find("body sherds"), 11, "rim sherds");
  bench_.write("changed.csv", changed);
  const ToolRun told = bench_.expect(0, {"intake", "@/changed.csv"});
  EXPECT_NE(told.out.find(sherds_ + " keeps the care flag \"funerary\": restricted by R. Quill on 2031-"),
            std::string::npos)
      << told.out;
  const auto labels_of = [&] {
    std::size_t labels = 0;
    const Json plan = json(0, {"plan"});
    for (const Json& label : plan["carrier_labels"]) labels += label.at("bag") == bag_of(sherds_) ? 1U : 0U;
    return labels;
  };
  EXPECT_EQ(labels_of(), 0U);
  bench_.expect(2, {"restrict", sherds_, "--flag", "sacred", "--lift", "--reason", "never set"});
  bench_.expect(2, {"restrict", sherds_, "--flag", "funerary", "--lift", "--reason", " "});
  const Json lifted =
      json(0, {"restrict", sherds_, "--flag", "funerary", "--lift", "--reason", "consultation of 9 June"});
  EXPECT_EQ(lifted["was_set_by"], "R. Quill");
  EXPECT_EQ(lifted["still_restricted"], false);
  EXPECT_GT(labels_of(), 0U);
  EXPECT_EQ(json(0, {"intake", "@/changed.csv"})["kept"].size(), 0U);
  bench_.expect(2, {"restrict", sherds_, "--flag", "funerary", "--lift", "--reason", "twice"});
  bench_.expect(0, {"verify-ledger"});
  EXPECT_NE(bench_.expect(0, {"history", sherds_}).out.find("was lifted from"), std::string::npos);
}

TEST_F(WorkingDay, pieces_of_several_items_join_and_leave_an_assembly) {
  bench_.expect(0, {"assembly", "Crock 2", "--add", bowl_ + ", " + jar_});
  EXPECT_EQ(json(0, {"assembly"})["assemblies"][0]["items"], Json::array({bowl_, jar_}));
  bench_.expect(2, {"assembly", "Crock 3", "--add", bowl_});
  bench_.expect(2, {"assembly", "Crock 4"});                     // there is none
  bench_.expect(2, {"assembly", "Crock 2", "--remove", bowl_});  // why?
  bench_.expect(0, {"assembly", "Crock 2", "--remove", bowl_, "--reason", "another fabric"});
  EXPECT_EQ(json(0, {"assembly"})["assemblies"][0]["items"], Json::array({jar_}));
}

TEST_F(WorkingDay, a_place_may_be_typed_as_it_is_printed_and_a_slip_of_the_fingers_makes_no_new_one) {
  const std::string bag = bag_of(bowl_);
  const ToolRun refused = bench_.expect(2, {"move", bag, "--to", "Room 7 / Shelf 2"});
  EXPECT_NE(refused.err.find("the ledger knows no place \"Room 7/Shelf 2\""), std::string::npos) << refused.err;
  EXPECT_NE(refused.err.find("--new-place"), std::string::npos) << refused.err;
  const ToolRun first = bench_.expect(0, {"move", bag, "--to", "Room 7 / Shelf 2", "--new-place"});
  EXPECT_NE(first.err.find("\"Room 7/Shelf 2\" was not known until now"), std::string::npos) << first.err;
  EXPECT_EQ(bench_.expect(0, {"move", bag, "--to", " Room 7/ Shelf 2 "}).err, "");
  EXPECT_EQ(json(0, {"show", bag})["bag"]["now"], "Room 7/Shelf 2");
  for (const char* slip : {"Romo 7/Shelf 2", "room 7/shelf 2", "Shelf 2"}) {
    const ToolRun near = bench_.expect(2, {"move", bag, "--to", slip});
    EXPECT_NE(near.err.find("Is it Room 7/Shelf 2?"), std::string::npos) << near.err;
  }
}

}  // namespace
}  // namespace sherdmark::testing
