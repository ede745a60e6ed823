// A whole season with the commands as people type them: catalog in, labels out, an inventory with planted losses, an
// audit, a loan, box lists, and the inventory of the year after. Every planted fault must come out in the right
// finding, and nothing else.
#include <gtest/gtest.h>

#include "sherdmark/code/link_code.h"
#include "tools/season.h"

namespace sherdmark::testing {
namespace {

TEST_F(Season, every_planted_fault_comes_out_in_its_finding_and_nothing_else) {
  set_up_collection();
  print_labels("bag");
  print_labels("tag");
  find_bags();

  // Bag 19 goes on loan before the inventory.
  const Json loan = json(0, {"loan", "lend", bag(19).id, "--to", "Invented Coast Museum", "--until", "2031-12-01"});
  ASSERT_FALSE(loan.empty());

  bench_.expect(0, {"inventory", "numbers", "FIC-2031-", "--count", "3", "--out", "@/sheets"});
  const Json opened = json(0, {"inventory", "open", "--place", "Room 2"});
  EXPECT_EQ(opened["inventory"]["expected"], 20);
  EXPECT_EQ(opened["inventory"]["on_loan"], 1);
  EXPECT_EQ(opened["inventory"]["restricted"], 1);
  bench_.expect(2, {"inventory", "open", "--place", "Room 2"});

  // Monday: bag 3 is lost, bag 4 stands on shelf 3, bag 6 is one piece short, bag 7's label was reprinted and the old
  // one is still on the bag; bag 8's label lies at two places; bag 9 was keyed and not scanned.
  const std::string old_code_7 = bag(7).code;
  LinkReading link = parse_code_text(old_code_7);
  ASSERT_TRUE(link.link.has_value());
  bench_.expect(0, {"void", link.link->serial, "--reason", "smudged"});
  std::string monday = scans_of_room_2({3, 4, 6, 9, 19});
  monday += "place Room 2/Range A/Shelf 3\n" + bag(4).code + "\n";
  monday += "place Room 2/Range A/Shelf 2\n" + bag(6).code + "\ncount 7\n";
  monday += bag(9).id + "\n" + bag(10).tag_code + "\n";
  monday += "unlabelled iron knife in two pieces\n";
  bench_.write("monday.txt", monday);
  const Json taken = json(0, {"inventory", "scans", "@/monday.txt"});
  EXPECT_EQ(taken["found_numbers"], Json::array({"FIC-2031-001"}));

  // Tuesday: something of Room 3 and something of another collection turn up; a label cannot be read.
  bench_.clock().set(parse_time("2031-05-05T09:00:00Z"));
  LinkCode foreign = *link.link;
  foreign.collection_key = foreign.collection_key == "AAAA" ? "BBBB" : "AAAA";
  std::string damaged = bag(11).code;
  damaged.back() = damaged.back() == 'A' ? 'B' : 'A';
  bench_.write("tuesday.txt", "place Room 2/Range A/Shelf 4\n" + bag(21).code + "\n" + write_link_code(foreign) + "\n" +
                                  damaged + "\n" + bag(8).code + "\n");
  bench_.expect(0, {"inventory", "scans", "@/tuesday.txt", "--by", "Ana Quill"});
  bench_.write("wrong.txt", "place Room 99\n");
  EXPECT_NE(bench_.expect(3, {"inventory", "scans", "@/wrong.txt"}).out.find("line 1"), std::string::npos);

  const Json status = json(0, {"inventory", "status"});
  EXPECT_EQ(status["totals"]["to_see"], 18);
  EXPECT_EQ(status["totals"]["seen"], 17);
  EXPECT_EQ(status["totals"]["left"], 1);

  const Json report = json(1, {"inventory", "close", "--out", "@/reports"});
  const auto found = findings(report);
  const std::map<std::string, std::vector<std::string>> planted{
      {"not found", {bag(3).id}},
      {"seen elsewhere", {bag(4).id}},
      {"count differs", {bag(6).id}},
      {"stale label", {bag(7).id}},
      {"duplicate", {bag(8).id}},
      {"extra", {bag(21).id}},
      {"unlabelled", {"FIC-2031-001: iron knife in two pieces"}},
      {"no record", {fmt::format("a bag of another collection, {}", foreign.collection_key)}},
      {"not read", {"a code of ours that was not read whole"}}};
  EXPECT_EQ(found, planted);
  EXPECT_EQ(report["totals"]["evidence"]["bag and tag"], 1);
  EXPECT_EQ(report["totals"]["evidence"]["number keyed"], 1);
  bench_.expect(2, {"inventory", "scans", "@/monday.txt"});  // closed is closed

  const std::string stem = "reports/inventory-" + report["inventory"]["id"].get<std::string>();
  const auto pages = testing::run({"pdftotext", "-layout", bench_.path(stem + ".pdf").string(), "-"});
  EXPECT_NE(pages.out.find("Inventory report"), std::string::npos);
  EXPECT_NE(pages.out.find("FIC-2031-001"), std::string::npos);
  EXPECT_NE(pages.out.find("Of 18 bags that should be here"), std::string::npos) << pages.out;
  EXPECT_EQ(split(bench_.read(stem + ".csv"), '\n').size(),
            1U + 20 + 1 + 3 + 1);  // head, bags, extra, three without a bag
  bench_.expect(0, {"inventory", "resolve", "FIC-2031-001", "--as", bag(3).item});

  // An audit by somebody who has no hand in it; the lost bag is drawn because all are.
  const Json audit = json(0, {"audit", "draw", "--place", "Room 2", "--size", "18", "--seed", "brushes", "--out",
                              "@/audit", "--by", "Ana Quill"});
  EXPECT_EQ(audit["audit"]["design"]["frame"], 18);
  EXPECT_EQ(audit["audit"]["design"]["exclusions"].size(), 2U);
  bench_.expect(2, {"audit", "draw", "--place", "Room 2", "--size", "3"});  // no second draw beside an open one
  bench_.expect(2, {"audit", "conclude"});
  std::string results;
  for (const Json& draw : audit["draws"]) {
    EXPECT_NE(draw["subject"], bag(20).id) << "restricted things are never drawn";
    if (draw["subject"] == bag(3).id)
      results += fmt::format("#{} not found\n", draw["rank"].get<int>());
    else if (draw["subject"] == bag(5).id)
      results += bag(5).id + " not inspected: the shelf was blocked\n";
    else
      results += draw["subject"].get<std::string>() + " correct\n";
  }
  bench_.write("results.txt", results);
  bench_.expect(0, {"audit", "record", "@/results.txt", "--by", "Ana Quill"});
  const Json concluded = json(1, {"audit", "conclude", "--out", "@/audit", "--by", "Ana Quill"});
  const Json& any = concluded["conclusion"]["bounds"][0];
  EXPECT_EQ(any["errors"], 1);
  EXPECT_EQ(any["most"], 2);            // all were drawn: one error, one not inspected
  EXPECT_EQ(any["most_inspected"], 2);  // the one that was not inspected may be wrong, too
  EXPECT_EQ(concluded["conclusion"]["auditors_in_chain"][0]["person"], "Ana Quill");  // she took scans in on Tuesday
  EXPECT_EQ(concluded["heads"][0]["hash"].get<std::string>().size(), 64U);

  // Box lists: true until the box changes.
  EXPECT_EQ(json(0, {"box-list", "14", "--out", "@/lists"})["boxes"][0]["revision"], 1);
  EXPECT_EQ(json(0, {"box-list", "--stale"})["boxes"].size(), 0U);
  bench_.expect(0, {"recount", bag(1).id, "--item", bag(1).item, "--pieces", "2", "--reason", "counted again"});
  EXPECT_EQ(json(1, {"box-list", "--stale"})["boxes"].size(), 1U);
  EXPECT_EQ(json(0, {"box-list", "14", "--out", "@/lists"})["boxes"][0]["revision"], 2);
  bench_.expect(1, {"box-list", "14", "--weighs", "21.5"});  // the standard's limit is 18 kg
  bench_.expect(0, {"box-list", "14", "--weighs", "21.5", "--limit", "25"});

  // Next year: the loan is back, the faults are mended, the lost bag turned up; everything is at home.
  bench_.clock().set(parse_time("2032-05-04T09:00:00Z"));
  bench_.expect(0, {"loan", "return", loan["loan"].is_string() ? loan["loan"].get<std::string>() : "", bag(19).id});
  bench_.expect(0, {"plan"});
  print_labels("bag");
  for (LabelledBag& one : bags_) one.code = code_of_[one.id];
  json(0, {"inventory", "open", "--place", "Room 2"});
  bench_.write("next.txt", scans_of_room_2({}));
  bench_.expect(0, {"inventory", "scans", "@/next.txt"});
  const Json next = json(0, {"inventory", "close"});
  EXPECT_EQ(findings(next), (std::map<std::string, std::vector<std::string>>{}));
  EXPECT_EQ(next["totals"]["seen_at_home"], 19);

  bench_.expect(0, {"verify-ledger"});  // records are the sum of the events, all season long
  const std::string history = bench_.expect(0, {"history", bag(3).id}).out;
  EXPECT_NE(history.find("Drawn for the audit"), std::string::npos) << history;
}

TEST_F(Season, pictures_go_through_the_same_verdicts_as_check) {
  bench_.write("catalog.csv",
               "Cat. No.,Acc #,Type,Description,Material,Surface/Condition,Qty,Max Dim (mm),Bag(s),Home\r\n"
               "16ZQ5/12.1,2031.4,artifact,nail,iron,corroding,1,40,B1,Room 2/Shelf 1\r\n");
  bench_.expect(0, {"init", "--standard", sample("standards/quillow_ferry.toml").string()});
  bench_.expect(0, {"intake", "@/catalog.csv"});
  bench_.expect(0, {"plan"});
  std::vector<std::string> pages;
  for (const std::string role : {"bag", "tag"}) {
    const Json run = json(0, {"labels", "--for", role + "s", "--out", "@/sheets", "--preview-dpi", "200"});
    bench_.expect(0, {"printed", run["run"]});
    pages.push_back("@/sheets/" + role + "-" + run["run"].get<std::string>() + "-page-1.png");
  }
  bench_.expect(0, {"check", pages[0], pages[1], "--set"});
  bench_.expect(0, {"inventory", "open"});
  bench_.expect(0, {"inventory", "pictures", pages[0], pages[1], "--set", "--place", "Room 2/Shelf 1"});
  const Json report = json(0, {"inventory", "close"});
  EXPECT_EQ(report["totals"]["seen_at_home"], 1);
  EXPECT_EQ(report["totals"]["evidence"]["bag and tag"], 1);
  EXPECT_EQ(report["totals"]["prints"], 2);
  bench_.expect(0, {"inventory", "open"});
  bench_.expect(2, {"check", pages[0], pages[1], "--set", "--inventory", "open", "--place", "Room 99"});
  bench_.expect(0, {"check", pages[0], pages[1], "--set", "--inventory", "open", "--place", "Room 2/Shelf 1"});
  EXPECT_EQ(json(0, {"inventory", "close"})["totals"]["evidence"]["bag and tag"], 1);
  bench_.expect(0, {"audit", "draw", "--size", "1"});
  bench_.expect(0, {"audit", "pictures", pages[0], pages[1], "--set"});
  const std::string audit = json(0, {"audit", "conclude"})["audit"]["id"];
  EXPECT_EQ(json(0, {"audit", "show"})["draws"][0]["outcome"], "correct");

  // What cannot be taken in any more leaves no verdict behind.
  const std::string inventory = json(0, {"inventory", "list"})["inventories"][0]["id"];
  const std::string head = json(0, {"verify-ledger"})["heads"][0]["hash"];
  bench_.expect(2, {"inventory", "pictures", pages[0], pages[1], "--set", "--inventory", inventory});
  bench_.expect(2, {"audit", "pictures", pages[0], pages[1], "--set", "--audit", audit});
  EXPECT_EQ(json(0, {"verify-ledger"})["heads"][0]["hash"], head);
}

TEST_F(Season, a_bag_goes_into_another_box_and_the_printed_lists_of_both_are_named_as_stale) {
  bench_.write("catalog.csv",
               "Cat. No.,Acc #,Type,Description,Material,Surface/Condition,Qty,Max Dim (mm),Bag(s),Home,Box\r\n"
               "16ZQ5/12.1,2031.4,artifact,nail,iron,corroding,1,40,B1,Room 2/Shelf 1,8\r\n"
               "16ZQ5/12.2,2031.4,artifact,bowl,ceramic,sound,1,40,B2,Room 3/Shelf 1,9\r\n");
  bench_.expect(0, {"init", "--standard", sample("standards/quillow_ferry.toml").string()});
  bench_.expect(0, {"intake", "@/catalog.csv"});
  const std::string bag = json(0, {"show", "16ZQ5/12.1"})["item"]["bags"][0];
  const auto stale = [&](int code) {
    std::vector<std::string> boxes;
    const Json lists = json(code, {"box-list", "--stale"});
    for (const Json& list : lists["boxes"]) boxes.push_back(list["box"]);
    return boxes;
  };
  const Json all = json(0, {"box-list", "--out", "@/lists"});
  ASSERT_EQ(all["boxes"].size(), 2U) << all;
  const std::string home = all["boxes"][0]["box"], other = all["boxes"][1]["box"];
  EXPECT_EQ(stale(0).size(), 0U);
  const Json moved = json(0, {"move", bag, "--box", other});
  EXPECT_EQ(moved["notes"].size(), 2U) << moved;
  EXPECT_EQ(stale(1), (std::vector{home, other}));
  json(0, {"box-list", "--out", "@/lists"});
  const Json out = json(0, {"move", bag, "--box", "-", "--to", "Photo studio", "--new-place"});
  EXPECT_EQ(out["box"], "");
  EXPECT_EQ(stale(1), std::vector{other});
  EXPECT_NE(bench_.expect(0, {"history", bag}).out.find("was put into box"), std::string::npos);
  bench_.expect(2, {"move", bag, "--box", "no such box"});
  bench_.expect(2, {"move", bag, "--box", other, "--temporary"});
  bench_.expect(2, {"move", bag, "--box", other, "--to", "Photo studio"});
  bench_.expect(2, {"move", bag, "--box", "-"});
  bench_.expect(2, {"move", bag});
  const ToolRun place = bench_.expect(2, {"move", bag, "--to", other});
  EXPECT_NE(place.err.find("--box \"" + other + "\""), std::string::npos) << place.err;
  bench_.expect(0, {"verify-ledger"});
}

TEST_F(Season, who_took_in_or_printed_what_was_drawn_is_not_independent) {
  set_up_collection();
  print_labels("bag");
  json(0, {"audit", "draw", "--place", "Room 2", "--size", "2"});
  bench_.write("results.txt", "#1 correct\n#2 correct\n");
  bench_.expect(0, {"audit", "record", "@/results.txt"});
  const Json conclusion = Json::parse(bench_.run({"audit", "conclude", "--json"}).out)["conclusion"];
  ASSERT_EQ(conclusion["auditors_in_chain"].size(), 1U);
  // The catalog, the run, its pages, their confirmation: once each, though two bags were drawn.
  EXPECT_EQ(conclusion["auditors_in_chain"][0]["events"], 4);
  EXPECT_NE(conclusion["statement"].get<std::string>().find("Not independent"), std::string::npos) << conclusion;
}

TEST_F(Season, what_was_seen_where_nobody_said_is_not_called_seen_at_home) {
  set_up_collection();
  print_labels("bag");
  find_bags();
  bench_.expect(0, {"inventory", "open", "--place", "Room 2"});
  bench_.write("scans.txt", bag(1).code + "\nplace " + place_of(2) + "\n" + bag(2).code + "\n");
  bench_.expect(0, {"inventory", "scans", "@/scans.txt"});
  const Json report = json(1, {"inventory", "close", "--out", "@/reports"});
  const Json& shelf = report["places"][0];
  EXPECT_EQ(shelf["place"], place_of(1));
  EXPECT_EQ(shelf["seen_at_home"], 1);
  EXPECT_EQ(shelf["seen_place_not_said"], 1);
  EXPECT_EQ(shelf["not_found"], 3);
  const std::string stem = "reports/inventory-" + report["inventory"]["id"].get<std::string>();
  const auto pages = testing::run({"pdftotext", "-layout", bench_.path(stem + ".pdf").string(), "-"});
  EXPECT_NE(pages.out.find("seen elsewhere, or nobody said where"), std::string::npos) << pages.out;
}

TEST_F(Season, what_was_written_into_a_folder_is_named) {
  set_up_collection();
  print_labels("bag");
  const auto named = [this](const std::vector<std::string>& arguments) {
    const std::string out = bench_.run(arguments).out;
    for (const std::string& file : bench_.files())
      if (file.ends_with(".pdf") &&
          (out.find(file + "\n") != std::string::npos || out.find(file + " (the same as ") != std::string::npos))
        return true;
    return false;
  };
  bench_.expect(0, {"inventory", "open", "--place", "Room 2"});
  EXPECT_TRUE(named({"inventory", "numbers", "FIC-2031-", "--count", "2", "--out", "@/found"}));
  EXPECT_TRUE(named({"inventory", "close", "--nothing-read", "--out", "@/reports"}));
  EXPECT_TRUE(named({"audit", "draw", "--size", "1", "--out", "@/audit"}));
  EXPECT_TRUE(named({"audit", "pick-list", "--out", "@/audit"}));
  EXPECT_TRUE(named({"audit", "conclude", "--rest", "no time", "--out", "@/audit"}));
  EXPECT_FALSE(named({"audit", "list"})) << "the check can fail";
}

// Another collection's stations may have the codes of ours, and then its bags and prints have our ids.
TEST_F(Season, a_label_of_another_collection_is_never_taken_for_the_one_of_ours_that_is_numbered_like_it) {
  set_up_collection();
  print_labels("bag");
  print_labels("tag");
  find_bags();
  LinkCode link = parse_code_text(bag(1).code).link.value();
  link.collection_key = link.collection_key == "ZZZZ" ? "YYYY" : "ZZZZ";
  const std::string foreign = write_link_code(link);
  const Json before = json(0, {"show", bag(1).id});
  link.role = LabelRole::box;
  link.subject = json(0, {"box-list", "14"})["boxes"][0]["code"];
  for (const std::vector<std::string>& act :
       {std::vector<std::string>{"move", foreign, "--to", place_of(24)},
        std::vector<std::string>{"move", bag(24).id, "--box", write_link_code(link)},
        std::vector<std::string>{"void", foreign, "--reason", "torn"},
        std::vector<std::string>{"loan", "lend", foreign, "--to", "Invented Coast Museum"},
        std::vector<std::string>{"combine", foreign, "--into", bag(2).id},
        std::vector<std::string>{"bench", "applied", foreign}}) {
    const ToolRun refused = bench_.expect(2, act);
    EXPECT_NE(refused.err.find("this is a label of another collection"), std::string::npos) << refused.err;
  }
  EXPECT_EQ(json(0, {"show", bag(1).id}), before);
  EXPECT_EQ(json(0, {"show", bag(24).id})["bag"]["box"], nullptr);
  json(0, {"audit", "draw", "--size", "19", "--place", "Room 2"});
  link.role = LabelRole::shelf;
  bench_.write("results.txt", foreign + "\n" + write_link_code(link) + "\n");
  const Json results = json(1, {"audit", "record", "@/results.txt", "--skip-bad"});
  for (const Json& draw : results["draws"]) EXPECT_EQ(draw["outcome"], "");
}

TEST_F(Season, a_scan_in_an_audit_decides_as_a_picture_of_that_label_would) {
  set_up_collection();
  print_labels("bag");
  find_bags();
  json(0, {"audit", "draw", "--size", "19", "--place", "Room 2"});
  LinkCode forged = *parse_code_text(bag(2).code).link;
  forged.revision += 1;
  bench_.expect(0, {"loan", "lend", bag(3).id, "--to", "Museum of the Invented Coast"});
  LinkCode keyed = *parse_code_text(bag(4).code).link;  // an opaque key stands for the number of a sensitive bag only
  keyed.number_is_opaque = true;
  keyed.number = "Q7KXZ2";
  bench_.write("results.txt", bag(1).code + "\n" + write_link_code(forged) + "\n" + bag(3).code + "\n" +
                                  write_link_code(keyed) + "\n");
  std::map<std::string, std::string> outcomes;
  const Json results = json(0, {"audit", "record", "@/results.txt"});
  for (const Json& draw : results["draws"]) outcomes[draw["subject"]] = draw["outcome"];
  EXPECT_EQ(outcomes[bag(1).id], "correct");
  EXPECT_EQ(outcomes[bag(2).id], "label wrong");
  EXPECT_EQ(outcomes[bag(3).id], "wrong place");
  EXPECT_EQ(outcomes[bag(4).id], "label wrong");
}

TEST_F(Season, a_box_that_was_drawn_is_known_by_its_label_its_id_and_its_name) {
  set_up_collection();
  const Json run = json(0, {"labels", "--for", "boxes", "--out", "@/sheets"});
  bench_.expect(0, {"printed", run["run"]});
  const Json label = Json::parse(bench_.read("sheets/box-" + run["run"].get<std::string>() + ".json"))["labels"][0];
  const std::string code = label["code"]["text"];
  json(0, {"audit", "draw", "--unit", "box", "--size", "1"});
  for (const std::string& line :
       {code, parse_code_text(code).link->subject + " correct", std::string{"box 14 correct"}, std::string{"14"}}) {
    bench_.write("results.txt", line + "\n");
    EXPECT_EQ(json(0, {"audit", "record", "@/results.txt"})["draws"][0]["outcome"], "correct") << line;
  }
  bench_.write("results.txt", "box 15 correct\n");
  json(3, {"audit", "record", "@/results.txt"});
}

TEST_F(Season, a_result_is_of_the_class_whose_whole_name_begins_it) {
  set_up_collection();
  json(0, {"audit", "draw", "--size", "3", "--error", "wet=any water", "--error", "wet bag=only the bag"});
  bench_.write("results.txt", "#1 wet bag, at the seam\n#2 WET: a little\n#3 wetness unknown\n");
  const Json draws = json(1, {"audit", "record", "@/results.txt", "--skip-bad"})["draws"];
  const auto of = [&](int rank) {
    for (const Json& draw : draws)
      if (draw["rank"] == rank) return draw["outcome"].get<std::string>() + "|" + draw["reason"].get<std::string>();
    return std::string{};
  };
  EXPECT_EQ(of(1), "wet bag|at the seam");
  EXPECT_EQ(of(2), "wet|a little");
  EXPECT_EQ(of(3), "|");
}

TEST_F(Season, a_redraw_names_the_one_before_and_a_draw_gives_nothing_away) {
  set_up_collection();
  const Json first = json(0, {"audit", "draw", "--size", "4", "--out", "@/audit"});
  bench_.expect(2, {"audit", "draw", "--size", "4", "--redraw-of", first["audit"]["id"]});  // why?
  const Json again =
      json(0, {"audit", "draw", "--size", "4", "--redraw-of", first["audit"]["id"], "--reason", "list lost"});
  EXPECT_EQ(again["audit"]["redraw_of"], first["audit"]["id"]);
  json(0, {"audit", "draw", "--unit", "box", "--size", "1"});
  bench_.expect(2, {"audit", "draw", "--unit", "box", "--size", "1", "--place", "Room 2"});  // the same, in other words
  const auto list =
      testing::run({"pdftotext", "-layout",
                    bench_.path("audit/pick-list-" + first["audit"]["id"].get<std::string>() + ".pdf").string(), "-"});
  EXPECT_EQ(list.out.find("Pieces"), std::string::npos);
  EXPECT_NE(list.out.find("correct"), std::string::npos);
  EXPECT_EQ(bench_.expect(0, {"audit", "pick-list", "--audit", first["audit"]["id"]}).out.find("pieces"),
            std::string::npos);
}

}  // namespace
}  // namespace sherdmark::testing
