// An inventory with a handheld scanner in hand: what a person is told, and what the inventory then holds.
#include <gtest/gtest.h>

#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <csignal>
#include <cstdio>
#include <iostream>
#include <sstream>

#include "sherdmark/code/cards.h"
#include "sherdmark/code/keyboard.h"
#include "sherdmark/code/link_code.h"
#include "sherdmark/ledger/identity.h"
#include "tools/season.h"

namespace sherdmark::testing {
namespace {

class InventoryScan : public Season {
 protected:
  InventoryScan() {
    set_up_collection();
    print_labels("bag");
    print_labels("tag");
    find_bags();
    json(0, {"inventory", "open", "--place", "Room 2"});
    key_ = bag(1).code.substr(3, 4);
  }

  std::vector<Json> scan(int code, const std::vector<std::string>& lines, std::vector<std::string> options = {}) {
    std::string typed;
    for (const std::string& line : lines) typed += line + "\n";
    bench_.answer(typed);
    options.insert(options.begin(), {"inventory", "scan", "--json"});
    std::vector<Json> feedback;
    std::istringstream in{bench_.expect(code, options).out};
    for (std::string line; std::getline(in, line);) feedback.push_back(Json::parse(line));
    EXPECT_EQ(feedback.size(), lines.size());
    return feedback;
  }

  std::map<std::string, std::vector<std::string>> found_so_far() {
    auto found = findings(Json::parse(bench_.run({"inventory", "report", "--json"}).out));
    found.erase("not found");  // not seen yet
    return found;
  }

  static bool starts(const Json& feedback, const std::string& words) {
    return feedback["line"].get<std::string>().starts_with(words);
  }

  const std::string shelf_1_ = "place Room 2/Range A/Shelf 1", shelf_2_ = "place Room 2/Range A/Shelf 2";
  std::string key_;
};

TEST_F(InventoryScan, nothing_counts_before_somebody_said_where_the_bags_are) {
  const auto heard = scan(0, {bag(1).code, shelf_1_, bag(1).code});
  EXPECT_EQ(heard[0]["line"], "WHERE ARE YOU?");
  EXPECT_FALSE(heard[0]["accepted"].get<bool>());
  EXPECT_TRUE(starts(heard[2], "SEEN")) << heard[2];
  EXPECT_NE(heard[2]["line"].get<std::string>().find("1 of 5 here, 1 of 19 in all"), std::string::npos) << heard[2];
  EXPECT_EQ(scan(0, {bag(2).code})[0]["line"], "WHERE ARE YOU?") << "a session begun anew does not know the shelf";
  EXPECT_EQ(json(0, {"inventory", "status"})["totals"]["seen"], 1);
}

TEST_F(InventoryScan, what_does_not_fit_is_told_at_once_in_the_words_of_the_report_and_told_once) {
  const auto heard = scan(1, {shelf_2_, bag(1).code, bag(1).tag_code, bag(21).code, bag(6).code, "count 7", "END"});
  EXPECT_TRUE(starts(heard[1], "SEEN ELSEWHERE")) << heard[1];
  EXPECT_NE(heard[1]["more"][0].get<std::string>().find("belongs at Room 2/Range A/Shelf 1"), std::string::npos);
  EXPECT_EQ(heard[2]["signal"], "fine") << "its tag says nothing new: " << heard[2];
  EXPECT_TRUE(starts(heard[3], "EXTRA")) << heard[3];
  EXPECT_TRUE(starts(heard[5], "COUNT DIFFERS")) << heard[5];
  EXPECT_TRUE(heard[6]["ended"].get<bool>());
  const std::map<std::string, std::vector<std::string>> planted{
      {"seen elsewhere", {bag(1).id}}, {"extra", {bag(21).id}}, {"count differs", {bag(6).id}}};
  EXPECT_EQ(found_so_far(), planted);
}

// Bag 1 holds three numbered pieces, each of which carries its label.
TEST_F(InventoryScan, bag_tag_and_artifact_build_a_set_that_is_judged_when_the_next_bag_begins) {
  const Json run = json(0, {"labels", "--for", "artifacts", "--out", "@/sheets"});
  bench_.expect(0, {"printed", run["run"]});
  const auto piece = [&](int i) { return fmt::format("{}-{}", bag(1).item, i); };
  for (int i = 1; i <= 3; ++i) bench_.expect(0, {"bench", "applied", piece(i)});
  const auto heard = scan(0, {shelf_1_, bag(1).code, bag(1).tag_code, piece(1), piece(1), piece(2), piece(3),
                              bag(2).code, bag(2).tag_code, "NEXT", bag(3).code, bag(4).code, "END"});
  EXPECT_TRUE(starts(heard[2], "TAG  " + group_identity(bag(1).id))) << heard[2];
  EXPECT_TRUE(starts(heard[3], "ARTIFACT  " + piece(1) + "   3 of 5")) << heard[3];
  EXPECT_EQ(heard[4]["line"], "SAME NUMBER AGAIN") << heard[4];
  EXPECT_TRUE(starts(heard[6], "ARTIFACT  " + piece(3) + "   5 of 5   COMPLETE")) << heard[6];
  EXPECT_EQ(heard[7]["verdict"], "agree") << heard[7];
  EXPECT_TRUE(starts(heard[7], "SEEN")) << heard[7];
  EXPECT_EQ(heard[9]["verdict"], "incomplete") << heard[9];
  EXPECT_EQ(heard[9]["signal"], "finding") << heard[9];
  EXPECT_TRUE(heard[11]["verdict"].is_null()) << "one label is enough to have seen a bag: " << heard[11];
  EXPECT_EQ(found_so_far(), (std::map<std::string, std::vector<std::string>>{}));
  const Json evidence = json(0, {"inventory", "status"})["totals"]["evidence"];
  EXPECT_EQ(evidence["bag, tag and artifacts"], 1) << evidence;
  EXPECT_EQ(evidence["bag and tag"], 1) << evidence;
  EXPECT_EQ(evidence["seen outside"], 2) << evidence;
  const std::string history = bench_.expect(0, {"history", bag(1).id}).out;
  EXPECT_NE(history.find("agree"), std::string::npos) << history;
  bench_.expect(0, {"verify-ledger"});
}

// Bag 1 is taken out of box 14 and stays on the same shelf.
TEST_F(InventoryScan, a_bag_that_is_not_of_the_box_whose_label_was_scanned_is_never_said_to_agree) {
  for (const char* role : {"artifacts", "boxes"}) {
    const Json run = json(0, {"labels", "--for", role, "--out", "@/sheets"});
    bench_.expect(0, {"printed", run["run"]});
    if (role == std::string_view{"boxes"}) bench_.write("run", run["run"].get<std::string>());
  }
  const Json placed = Json::parse(bench_.read("sheets/box-" + bench_.read("run") + ".json"));
  const std::string box = placed["labels"][0]["code"]["text"];
  std::vector<std::string> lines{box, bag(1).code, bag(1).tag_code};
  for (int i = 1; i <= 3; ++i) {
    bench_.expect(0, {"bench", "applied", fmt::format("{}-{}", bag(1).item, i)});
    lines.push_back(fmt::format("{}-{}", bag(1).item, i));
  }
  lines.insert(lines.end(), {"NEXT", "END"});
  EXPECT_EQ(scan(0, lines)[6]["verdict"], "agree");
  bench_.expect(0, {"move", bag(1).id, "--box", "-", "--to", bag(1).place});
  const auto heard = scan(0, lines);
  EXPECT_EQ(heard[6]["verdict"], "misplaced") << heard[6];
  EXPECT_NE(bench_.expect(0, {"history", bag(1).id}).out.find("misplaced"), std::string::npos);
  lines.front() = shelf_1_;
  EXPECT_EQ(scan(0, lines)[6]["verdict"], "agree") << "the box is left behind";
}

TEST_F(InventoryScan, a_bag_that_is_not_of_the_box_whose_name_was_typed_is_never_said_to_agree) {
  const Json run = json(0, {"labels", "--for", "artifacts", "--out", "@/sheets"});
  bench_.expect(0, {"printed", run["run"]});
  std::vector<std::string> lines{"box 14", bag(1).code, bag(1).tag_code};
  for (int i = 1; i <= 3; ++i) {
    bench_.expect(0, {"bench", "applied", fmt::format("{}-{}", bag(1).item, i)});
    lines.push_back(fmt::format("{}-{}", bag(1).item, i));
  }
  lines.insert(lines.end(), {"NEXT", "END"});
  const std::vector<std::string> in_box_14{lines.begin() + 1, lines.end()};
  EXPECT_EQ(scan(0, lines)[6]["verdict"], "agree");
  EXPECT_EQ(scan(0, in_box_14, {"--box", "14"})[5]["verdict"], "agree");
  bench_.expect(0, {"move", bag(1).id, "--box", "-", "--to", bag(1).place});
  const auto heard = scan(0, lines);
  EXPECT_EQ(heard[6]["verdict"], "misplaced") << heard[6];
  EXPECT_EQ(heard[6]["more"][0],
            fmt::format("Bag {} was seen with box 14, but the ledger has it in no box.", group_identity(bag(1).id)));
  EXPECT_EQ(scan(0, in_box_14, {"--box", "14"})[5]["verdict"], "misplaced");
  lines.insert(lines.begin() + 1, "UNDO");
  lines.front() = "place -";
  lines.insert(lines.begin() + 1, "box 14");
  EXPECT_EQ(scan(0, lines)[8]["verdict"], "agree") << "the box was taken back";
  bench_.expect(0, {"verify-ledger"});
}

TEST_F(InventoryScan, a_tag_or_an_artifact_in_the_wrong_bag_is_told_at_once_and_stands_in_the_report) {
  const auto heard = scan(1, {shelf_1_, bag(1).code, bag(2).tag_code, "UNDO", "NEXT", bag(2).tag_code, bag(3).tag_code,
                              bag(3).code, bag(4).item, "inside " + bag(4).item, "END"});
  EXPECT_TRUE(starts(heard[2], "DISAGREE:  TAG")) << heard[2];
  EXPECT_NE(heard[2]["more"].back().get<std::string>().find("UNDO, then NEXT"), std::string::npos) << heard[2];
  for (const std::size_t i : {5U, 6U, 7U}) EXPECT_EQ(heard[i]["signal"], "fine") << heard[i];
  EXPECT_EQ(heard[8]["line"], "WHICH BAG?") << heard[8];
  EXPECT_FALSE(heard[8]["accepted"].get<bool>());
  EXPECT_TRUE(starts(heard[9], "DISAGREE:  ARTIFACT")) << heard[9];
  EXPECT_EQ(heard[10]["verdict"], "disagree") << heard[10];
  const std::map<std::string, std::vector<std::string>> planted{{"labels disagree", {bag(3).id}}};
  EXPECT_EQ(found_so_far(), planted) << "a number inside another bag does not make its own bag seen";
}

TEST_F(InventoryScan, undo_opens_a_set_again_and_a_number_after_next_means_its_own_bag) {
  const auto heard =
      scan(0, {shelf_1_, bag(1).code, bag(1).tag_code, "NEXT", "UNDO", "inside " + bag(2).item, "UNDO", "END"});
  EXPECT_EQ(heard[4]["line"], "UNDONE  NEXT") << heard[4];
  EXPECT_TRUE(starts(heard[5], "DISAGREE")) << heard[5];
  EXPECT_TRUE(starts(heard[6], "UNDONE  ARTIFACT")) << heard[6];
  const auto typed = scan(0, {shelf_1_, bag(1).code, "NEXT", bag(2).item, bag(3).item, "END"});
  EXPECT_EQ(typed[3]["bag"], bag(2).id) << typed[3];
  EXPECT_EQ(typed[4]["bag"], bag(3).id) << typed[4];
  EXPECT_EQ(found_so_far(), (std::map<std::string, std::vector<std::string>>{}));
}

TEST_F(InventoryScan, a_typed_serial_is_a_label_only_beside_its_bag_id) {
  const LinkCode tag = *parse_code_text(bag(2).tag_code).link;
  const auto alone = scan(0, {shelf_1_, bag(2).code, tag.serial, "NEXT", "END"});
  EXPECT_EQ(alone[2]["bag"], bag(2).id) << alone[2];
  EXPECT_TRUE(alone[3]["verdict"].is_null()) << "no tag was shown: " << alone[3];
  const auto both = scan(0, {shelf_1_, bag(2).code, tag.serial + " " + tag.subject, "NEXT", "END"});
  EXPECT_TRUE(starts(both[2], "TAG  " + group_identity(bag(2).id))) << both[2];
  EXPECT_EQ(both[3]["verdict"], "incomplete") << "its artifacts were not: " << both[3];
}

TEST_F(InventoryScan, a_typed_serial_names_its_bag_and_a_count_goes_to_the_bag_named_last) {
  const std::string serial = parse_code_text(bag(1).code).link->serial;
  const auto heard = scan(1, {shelf_1_, serial, bag(2).code, bag(1).code, "count 9"});
  EXPECT_EQ(heard[1]["bag"], bag(1).id) << heard[1];
  EXPECT_TRUE(starts(heard[4], "COUNT DIFFERS:  " + group_identity(bag(1).id))) << heard[4];
  const std::map<std::string, std::vector<std::string>> planted{{"count differs", {bag(1).id}}};
  EXPECT_EQ(found_so_far(), planted);
}

TEST_F(InventoryScan, a_second_count_taken_back_leaves_the_first) {
  const auto heard = scan(
      0, {shelf_1_, bag(1).code, bag(1).tag_code, "count 5", "count 3", "UNDO", "NEXT", "UNDO", "UNDO", "NEXT", "END"});
  EXPECT_TRUE(starts(heard[3], "COUNT DIFFERS:")) << heard[3];
  EXPECT_EQ(heard[6]["verdict"], "disagree") << "five were counted, as before the second count: " << heard[6];
  EXPECT_EQ(heard[9]["verdict"], "incomplete") << "no count stands any more: " << heard[9];
}

TEST_F(InventoryScan, a_new_place_ends_the_bag_in_hand_where_it_was_seen) {
  const auto heard = scan(1, {shelf_2_, bag(1).code, bag(1).tag_code, shelf_1_, bag(2).code, "END"});
  EXPECT_TRUE(starts(heard[1], "SEEN ELSEWHERE:")) << heard[1];
  EXPECT_EQ(heard[3]["verdict"], "incomplete") << heard[3];
  EXPECT_NE(heard[3]["more"][0].get<std::string>().find("The bag before, " + group_identity(bag(1).id)),
            std::string::npos)
      << heard[3];
  const std::map<std::string, std::vector<std::string>> planted{{"seen elsewhere", {bag(1).id}}};
  EXPECT_EQ(found_so_far(), planted);
}

TEST_F(InventoryScan, a_code_typed_by_another_layout_is_taken_in_with_a_word_about_it) {
  const KeyboardSetup french{Keyboard::us, Keyboard::french, false, "", ""};
  const auto heard = scan(0, {shelf_1_, typed_by(french, bag(1).code)});
  EXPECT_EQ(heard[1]["bag"], bag(1).id);
  EXPECT_NE(heard[1]["more"][0].get<std::string>().find("another keyboard layout"), std::string::npos) << heard[1];
}

TEST_F(InventoryScan, undo_takes_back_scans_counts_places_and_found_numbers) {
  bench_.expect(0, {"inventory", "numbers", "FIC-", "--count", "1"});
  const auto heard =
      scan(0, {shelf_2_, bag(1).code, "UNDO", shelf_1_, "UNDO", write_action_card(key_, ScanAction::undo), shelf_1_,
               bag(1).code, "count 2", "UNDO", "found a knife", "UNDO", "found a knife", "UNDO"});
  EXPECT_TRUE(starts(heard[2], "UNDONE  BAG  " + group_identity(bag(1).id))) << heard[2];
  EXPECT_TRUE(starts(heard[4], "UNDONE  back at Room 2/Range A/Shelf 2")) << heard[4];
  EXPECT_TRUE(starts(heard[10], "FOUND  FIC-001")) << heard[10];
  EXPECT_TRUE(starts(heard[12], "FOUND  FIC-001")) << "the number is free again: " << heard[12];
  EXPECT_EQ(found_so_far(), (std::map<std::string, std::vector<std::string>>{}));
  EXPECT_EQ(json(0, {"inventory", "status"})["totals"]["seen"], 1);
  EXPECT_EQ(scan(0, {"UNDO"})[0]["line"], "NOTHING TO UNDO") << "an earlier session's scans stand";
  bench_.expect(0, {"verify-ledger"});
  const std::string history = bench_.expect(0, {"history", bag(1).id}).out;
  EXPECT_NE(history.find("taken back"), std::string::npos) << history;
}

TEST_F(InventoryScan, what_is_not_ours_or_not_sure_is_not_taken_in) {
  std::string damaged = bag(2).code;
  damaged.back() = damaged.back() == 'A' ? 'B' : 'A';
  const auto heard = scan(0, {shelf_1_, damaged, "4006381333931", "", "place Room 99", "count 3", "found", bag(2).code,
                              bag(2).code, "PLACE", bag(3).code, "UNDO"});
  for (const std::size_t i : {1U, 2U, 3U, 4U, 5U, 6U, 10U}) {
    EXPECT_EQ(heard[i]["signal"], "not read") << i << heard[i];
    EXPECT_FALSE(heard[i]["accepted"].get<bool>()) << i << heard[i];
  }
  EXPECT_TRUE(starts(heard[8], "SEEN ALREADY")) << heard[8];
  const Json totals = json(0, {"inventory", "status"})["totals"];
  EXPECT_EQ(totals["seen"], 1);
  EXPECT_EQ(totals["readings"], 1);
}

TEST_F(InventoryScan, every_layout_is_understood_with_its_setup_card) {
  int bags_seen = 0;
  for (const Keyboard layout : {Keyboard::us, Keyboard::uk, Keyboard::german, Keyboard::french}) {
    const KeyboardSetup typed{layout, layout == Keyboard::german ? Keyboard::us : Keyboard::german, false, "", ""};
    const std::string card = typed_by(typed, write_action_card(key_, ScanAction::setup));
    const LabelledBag& one = bag(++bags_seen);
    const auto heard = scan(0, {card, shelf_1_, typed_by(typed, one.code)});
    EXPECT_EQ(heard[0]["line"], "SCANNER SET UP") << to_text(layout);
    EXPECT_EQ(heard[2]["bag"], one.id) << to_text(layout);
  }
  EXPECT_EQ(json(0, {"inventory", "status"})["totals"]["seen"], bags_seen);
}

TEST_F(InventoryScan, a_recorded_file_gives_the_same_answers) {
  bench_.write("monday.txt", shelf_1_ + "\n" + bag(1).code + "\n" + bag(2).code + "\n");
  const ToolRun run = bench_.expect(0, {"inventory", "scan", "@/monday.txt", "--bells"});
  EXPECT_EQ(run.out.front(), '\a');
  EXPECT_EQ(json(0, {"inventory", "status"})["totals"]["seen"], 2);
}

// The disk gives way (a trigger does, here) between the verdict on a set and the scan that ends it.
TEST_F(InventoryScan, the_verdict_on_a_bag_and_the_scan_that_ends_it_are_kept_together_or_not_at_all) {
  scan(0, {shelf_1_, bag(1).code});
  const auto sql = [&](const std::string& statement) {
    const auto done = testing::run({"sqlite3", bench_.path("collection.ledger").string(), statement});
    EXPECT_EQ(done.exit_code, 0) << done.err;
    return std::string{trim(done.out)};
  };
  sql("CREATE TRIGGER gives_way BEFORE INSERT ON events WHEN new.kind = 'inventory seen' AND EXISTS"
      " (SELECT 1 FROM events WHERE kind = 'checked') BEGIN SELECT RAISE(ABORT, 'the disk gives way'); END");
  const std::string before = sql("SELECT count(*) FROM events");
  bench_.answer(shelf_1_ + "\n" + bag(1).code + "\n" + bag(1).tag_code + "\nEND\n");
  EXPECT_NE(bench_.run({"inventory", "scan", "--json"}).code, 0);
  EXPECT_EQ(sql("SELECT count(*) FROM events WHERE kind = 'checked'"), "0") << "a verdict without its scan";
  EXPECT_EQ(sql("SELECT count(*) FROM events"), std::to_string(*parse_integer(before) + 1)) << "the tag alone";
  sql("DROP TRIGGER gives_way");
  bench_.answer(shelf_1_ + "\n" + bag(1).code + "\n" + bag(1).tag_code + "\nEND\n");
  (void)bench_.run({"inventory", "scan", "--json"});
  EXPECT_EQ(sql("SELECT count(*) FROM events WHERE kind = 'checked'"), "1");
  bench_.expect(0, {"verify-ledger"});
}

// A real process that is killed between two answers: all it has answered is in the inventory.
TEST_F(InventoryScan, every_answered_scan_survives_a_kill) {
  int to_child[2], from_child[2];
  ASSERT_EQ(::pipe(to_child), 0);
  ASSERT_EQ(::pipe(from_child), 0);
  std::fflush(nullptr);  // or the child says again what the test runner has not yet written
  const pid_t child = ::fork();
  ASSERT_GE(child, 0);
  if (child == 0) {
    ::dup2(to_child[0], 0);
    ::dup2(from_child[1], 1);
    ::close(to_child[1]);
    ::close(from_child[0]);
    SystemClock clock;
    SystemRandom random;
    Environment environment;
    environment.machine = "bench";
    std::ostringstream err;
    (void)run_sherdmark(
        {"inventory", "scan", "--json", "--by", "R. Quill", "--ledger", bench_.path("collection.ledger").string()},
        {std::cin, std::cout, err, clock, random, real_file_system()}, environment);
    ::_exit(0);
  }
  ::close(to_child[0]);
  ::close(from_child[1]);
  std::string typed = shelf_1_ + "\n";
  for (int i = 1; i <= 5; ++i) typed += bag(i).code + "\n";
  ASSERT_EQ(::write(to_child[1], typed.data(), typed.size()), static_cast<ssize_t>(typed.size()));
  std::string said;
  char byte = 0;
  while (std::ranges::count(said, '\n') < 4 && ::read(from_child[0], &byte, 1) == 1) said += byte;
  ::kill(child, SIGKILL);
  ::waitpid(child, nullptr, 0);
  while (::read(from_child[0], &byte, 1) == 1) said += byte;
  ::close(from_child[0]);
  ::close(to_child[1]);
  const auto answered = std::ranges::count(said, '\n') - 1;  // the first answer is to the place
  ASSERT_GE(answered, 3);
  const auto seen = json(0, {"inventory", "status"})["totals"]["seen"].get<std::ptrdiff_t>();
  EXPECT_GE(seen, answered) << said;
  EXPECT_LE(seen, answered + 1);
  bench_.expect(0, {"verify-ledger"});
}

}  // namespace
}  // namespace sherdmark::testing
