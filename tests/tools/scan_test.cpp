// A session with a handheld scanner: what a person hears and sees, and what is kept.
#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <csignal>
#include <iostream>
#include <map>
#include <nlohmann/json.hpp>
#include <sstream>
#include <thread>

#include "sherdmark/code/cards.h"
#include "sherdmark/code/keyboard.h"
#include "sherdmark/code/link_code.h"
#include "sherdmark/ledger/identity.h"
#include "tools/bench.h"

namespace sherdmark::testing {
namespace {

using Json = nlohmann::json;

class Scan : public ::testing::Test {
 protected:
  Scan() {
    start_collection(bench_, small_samples()[1]);
    bench_.expect(0, {"plan"});
    for (const std::string role : {"bag", "tag", "artifact"}) {
      const Json run = json(0, {"labels", "--for", role, "--out", "@/sheets"});
      bench_.expect(0, {"printed", run["run"]});
      const Json placed = Json::parse(bench_.read("sheets/" + role + "-" + run["run"].get<std::string>() + ".json"));
      for (const Json& label : placed["labels"])
        if (label["code"].is_object()) codes_[role][label["number"]] = label["code"]["text"];
    }
    key_ = codes_.at("bag").begin()->second.substr(3, 4);
    bench_.expect(0, {"bench", "applied", bowl_});
  }

  Json json(int code, std::vector<std::string> arguments) {
    arguments.push_back("--json");
    const ToolRun result = bench_.expect(code, arguments);
    Json document = Json::parse(result.out, nullptr, false);
    EXPECT_FALSE(document.is_discarded()) << result.out << result.err;
    return document;
  }

  // The feedback to each line.
  std::vector<Json> scan(int code, const std::vector<std::string>& lines, std::vector<std::string> options = {}) {
    std::string typed;
    for (const std::string& line : lines) typed += line + "\n";
    bench_.answer(typed);
    options.insert(options.begin(), {"scan", "--json"});
    return feedback_of(bench_.expect(code, options).out);
  }
  static std::vector<Json> feedback_of(const std::string& out) {
    std::vector<Json> feedback;
    std::istringstream in{out};
    for (std::string line; std::getline(in, line);) feedback.push_back(Json::parse(line));
    return feedback;
  }
  std::string card(ScanAction action) { return write_action_card(key_, action); }

  Bench bench_;
  const std::string bowl_ = "16ZQ5/12.66", sherds_ = "16ZQ5/12.67", nail_ = "16ZQ5/12.68";
  std::map<std::string, std::map<std::string, std::string>> codes_;
  std::string key_;
};

TEST_F(Scan, bag_tag_and_artifact_in_any_order_build_a_set_that_is_judged_at_next) {
  const std::vector<std::string> parts = {codes_["bag"][bowl_], codes_["tag"][bowl_], bowl_};
  for (const std::vector<int>& order : {std::vector{0, 1, 2}, {2, 1, 0}, {1, 2, 0}}) {
    const auto heard = scan(0, {parts[static_cast<std::size_t>(order[0])], parts[static_cast<std::size_t>(order[1])],
                                parts[static_cast<std::size_t>(order[2])], card(ScanAction::next), "END"});
    ASSERT_EQ(heard.size(), 5U);
    EXPECT_NE(heard[2]["line"].get<std::string>().find("COMPLETE"), std::string::npos) << heard[2];
    EXPECT_EQ(heard[3]["verdict"], "agree") << heard[3];
    EXPECT_TRUE(heard[4]["ended"].get<bool>());
  }
}

TEST_F(Scan, another_bags_tag_is_told_at_once_and_undo_takes_it_back) {
  const auto heard =
      scan(0, {codes_["bag"][bowl_], codes_["tag"][nail_], "UNDO", codes_["tag"][bowl_], bowl_, "NEXT", "UNDO", "END"});
  EXPECT_EQ(heard[1]["signal"], "finding") << heard[1];
  EXPECT_EQ(heard[2]["line"].get<std::string>().substr(0, 6), "UNDONE");
  EXPECT_EQ(heard[5]["verdict"], "agree");
  EXPECT_EQ(heard[6]["signal"], "not read") << "a set that was judged stays judged";
  EXPECT_EQ(scan(1, {codes_["bag"][bowl_], codes_["tag"][nail_], "END"}).back()["verdict"], "disagree");
}

TEST_F(Scan, a_typed_label_needs_serial_and_bag_id_because_a_serial_alone_may_be_a_slip_of_the_finger) {
  const LinkCode tag = *parse_code_text(codes_["tag"][bowl_]).link;
  const LinkCode other = *parse_code_text(codes_["tag"][nail_]).link;
  const auto heard = scan(1, {codes_["bag"][bowl_], tag.serial, tag.subject, other.serial + " " + tag.subject,
                              tag.serial + " " + other.subject, bowl_, "END"});
  const std::vector<std::string> refused = {"THE SERIAL IS NOT ENOUGH", "THE BAG'S ID IS NOT ENOUGH", "NOT ONE LABEL",
                                            "NOT ONE LABEL"};
  for (std::size_t i = 0; i < refused.size(); ++i) {
    EXPECT_EQ(heard[i + 1]["line"], refused[i]) << heard[i + 1];
    EXPECT_FALSE(heard[i + 1]["accepted"].get<bool>());
  }
  EXPECT_EQ(heard.back()["verdict"], "incomplete");
  for (const std::string& typed : {tag.serial + " " + tag.subject, group_identity(tag.subject) + " " + tag.serial})
    EXPECT_EQ(scan(0, {codes_["bag"][bowl_], typed, bowl_, "END"}).back()["verdict"], "agree") << typed;
}

TEST_F(Scan, a_scanner_that_slips_never_completes_a_set_with_one_label_heard_twice) {
  bench_.expect(0, {"bench", "applied", sherds_, "--copies", "6"});
  std::vector<std::string> lines = {codes_["bag"][sherds_], codes_["tag"][sherds_]};
  for (int i = 0; i < 6; ++i) lines.push_back(sherds_);
  lines.push_back("END");
  const auto heard = scan(1, lines);
  EXPECT_EQ(heard[3]["line"], "SAME NUMBER AGAIN");
  EXPECT_FALSE(heard[3]["accepted"].get<bool>());
  EXPECT_EQ(heard.back()["verdict"], "incomplete");
  EXPECT_EQ(scan(0, {codes_["bag"][sherds_], codes_["tag"][sherds_], sherds_, "+", "+", "+", "+", "+", "END"})
                .back()["verdict"],
            "agree");
}

TEST_F(Scan, the_setup_card_is_remembered_and_codes_in_another_layout_are_understood) {
  const KeyboardSetup french{Keyboard::us, Keyboard::french, false, "", ""};
  const auto unset = scan(0, {typed_by(french, codes_["bag"][bowl_]), "UNDO", "END"});
  EXPECT_EQ(unset[0]["heard"], codes_["bag"][bowl_]);
  EXPECT_EQ(unset[0]["more"].size(), 1U) << "it says that the layout differs";
  const auto set = scan(0, {typed_by(french, card(ScanAction::setup)), "END"});
  EXPECT_EQ(set[0]["line"], "SCANNER SET UP");
  EXPECT_NE(set[0]["more"][0].get<std::string>().find("French"), std::string::npos);
  EXPECT_EQ(scan(0, {typed_by(french, codes_["bag"][bowl_]), "UNDO", "END"})[0]["more"].size(), 0U);
}

TEST_F(Scan, each_layout_with_each_computer_is_set_up_by_the_card) {
  const std::vector<Keyboard> layouts = {Keyboard::us, Keyboard::uk, Keyboard::german, Keyboard::french};
  for (const Keyboard scanner : layouts)
    for (const Keyboard computer : layouts) {
      const KeyboardSetup setup{scanner, computer, computer == Keyboard::french, "", ""};
      const auto heard = scan(0, {typed_by(setup, card(ScanAction::setup)), typed_by(setup, codes_["bag"][bowl_]),
                                  typed_by(setup, card(ScanAction::undo)), "END"});
      EXPECT_EQ(heard[0]["line"], "SCANNER SET UP") << layout_text(setup);
      EXPECT_EQ(heard[1]["heard"], codes_["bag"][bowl_]) << layout_text(setup);
      EXPECT_EQ(heard[2]["line"].get<std::string>().substr(0, 6), "UNDONE") << layout_text(setup);
    }
}

TEST_F(Scan, places_hold_for_the_following_bags_and_a_wrong_one_is_a_finding) {
  bench_.expect(0, {"move", codes_["bag"][bowl_], "--to", "Room 2/Shelf 3", "--new-place", "--home"});
  const auto heard =
      scan(1, {"place Room 2/Shelf 3", codes_["bag"][bowl_], codes_["tag"][bowl_], bowl_, "NEXT",
               "place Room 2/Shelf 4", codes_["bag"][bowl_], codes_["tag"][bowl_], bowl_, "NEXT", "END"});
  EXPECT_EQ(heard[4]["verdict"], "agree");
  EXPECT_EQ(heard[9]["verdict"], "misplaced") << heard[9];
}

TEST_F(Scan, a_bag_out_of_another_box_is_misplaced_although_both_boxes_stand_on_one_shelf) {
  bench_.write("boxed.csv",
               "Cat. No.,Acc #,Type,Description,Material,Surface/Condition,Qty,Max Dim (mm),Bag(s),Box,Home\r\n"
               "16ZQ5/13.1,2031.4,artifact,bowl,ceramic,sound,1,82,B11,Box 1,Room 2/Shelf 3\r\n"
               "16ZQ5/13.2,2031.4,artifact,bowl,ceramic,sound,1,82,B12,Box 2,Room 2/Shelf 3\r\n");
  bench_.expect(0, {"intake", "@/boxed.csv"});
  bench_.expect(0, {"plan"});
  bench_.expect(0, {"move", codes_["bag"][bowl_], "--box", "Box 2"});
  const Json run = json(0, {"labels", "--for", "boxes", "--out", "@/sheets"});
  bench_.expect(0, {"printed", run["run"]});
  std::map<std::string, std::string> boxes;
  const Json placed = Json::parse(bench_.read("sheets/box-" + run["run"].get<std::string>() + ".json"));
  for (const Json& label : placed["labels"]) boxes[label["number"]] = label["code"]["text"];
  const auto heard = scan(1, {boxes.at("Box 1"),
                              codes_["bag"][bowl_],
                              codes_["tag"][bowl_],
                              bowl_,
                              "NEXT",
                              boxes.at("Box 2"),
                              codes_["bag"][bowl_],
                              codes_["tag"][bowl_],
                              bowl_,
                              "NEXT",
                              boxes.at("Box 1"),
                              "UNDO",
                              codes_["bag"][bowl_],
                              codes_["tag"][bowl_],
                              bowl_,
                              "NEXT",
                              "place Room 2/Shelf 3",
                              codes_["bag"][bowl_],
                              codes_["tag"][bowl_],
                              bowl_,
                              "END"});
  EXPECT_EQ(heard[4]["verdict"], "misplaced") << heard[4];
  EXPECT_NE(heard[4]["more"][0].get<std::string>().find("but the ledger has it in Box 2"), std::string::npos);
  EXPECT_EQ(heard[9]["verdict"], "agree") << heard[9];
  EXPECT_EQ(heard[15]["verdict"], "agree") << heard[15];
  EXPECT_EQ(heard[20]["verdict"], "agree") << heard[20];
}

TEST_F(Scan, the_place_of_a_bag_that_was_begun_cannot_be_changed) {
  bench_.expect(0, {"move", codes_["bag"][bowl_], "--to", "Room 2/Shelf 7", "--new-place", "--home"});
  const auto heard =
      scan(1, {"place Room 2/Shelf 1", codes_["bag"][bowl_], codes_["tag"][bowl_], bowl_, "place Room 2/Shelf 7",
               card(ScanAction::place), "PLACE", "NEXT", "place Room 2/Shelf 7", "END"});
  EXPECT_EQ(heard[3]["line"].get<std::string>().substr(0, 10), "MISPLACED:") << heard[3];
  for (const std::size_t i : {4U, 5U, 6U}) {
    EXPECT_EQ(heard[i]["line"], "FIRST FINISH THE BAG") << heard[i];
    EXPECT_FALSE(heard[i]["accepted"].get<bool>()) << heard[i];
  }
  EXPECT_EQ(heard[7]["verdict"], "misplaced") << heard[7];
  EXPECT_TRUE(heard[8]["accepted"].get<bool>()) << heard[8];
}

TEST_F(Scan, what_is_not_ours_or_not_whole_changes_nothing) {
  std::string damaged = codes_["bag"][bowl_];
  damaged.back() = damaged.back() == 'A' ? 'B' : 'A';
  const auto heard = scan(0, {damaged, "4006381333931", "", "END"});
  for (std::size_t i = 0; i < 3; ++i) {
    EXPECT_EQ(heard[i]["signal"], "not read") << heard[i];
    EXPECT_FALSE(heard[i]["accepted"].get<bool>());
  }
  bench_.answer("4006381333931\nEND\n");
  const ToolRun rings = bench_.expect(0, {"scan", "--bells"});
  EXPECT_EQ(rings.out.substr(0, 3), "\a\a?") << "two bells: not read";
}

TEST_F(Scan, a_session_left_open_goes_on_and_can_be_replayed) {
  const auto before = scan(0, {codes_["bag"][bowl_], codes_["tag"][bowl_]});
  EXPECT_EQ(before.size(), 2U);
  bench_.write("rest.txt", bowl_ + "\nNEXT\nEND\n");
  const ToolRun rest = bench_.expect(0, {"scan", "--json", "--from", "@/rest.txt"});
  EXPECT_NE(rest.err.find("goes on: 2 scans"), std::string::npos) << rest.err;
  const auto after = feedback_of(rest.out);
  EXPECT_EQ(after[1]["verdict"], "agree");
  const std::string session = bench_.expect(0, {"history", "--json", codes_["bag"][bowl_].substr(8, 9)}).out;
  const std::size_t at = session.find("session S");
  ASSERT_NE(at, std::string::npos) << session;
  const auto again = feedback_of(bench_.expect(0, {"scan", "--json", "--replay", session.substr(at + 8, 9)}).out);
  ASSERT_EQ(again.size(), 5U);
  EXPECT_EQ(again[1], before[1]);
  EXPECT_EQ(again[3], after[1]);
  bench_.expect(0, {"verify-ledger"});
}

// A real process that is killed: what it acknowledged is in the ledger.
TEST_F(Scan, every_acknowledged_scan_survives_a_kill) {
  SeededRandom moments{5};
  std::size_t acknowledged = 0;
  for (int round = 0; round < 6; ++round) {
    int to_child[2], from_child[2];
    ASSERT_EQ(::pipe(to_child), 0);
    ASSERT_EQ(::pipe(from_child), 0);
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
      (void)run_sherdmark({"scan", "--json", "--by", "R. Quill", "--ledger", bench_.path("collection.ledger").string()},
                          {std::cin, std::cout, err, clock, random, real_file_system()}, environment);
      ::_exit(0);
    }
    ::close(to_child[0]);
    ::close(from_child[1]);
    std::thread writer{[&] {
      for (int i = 0; i < 40; ++i) {
        const std::string line = (i % 2 == 0 ? codes_["bag"][bowl_] : std::string{"UNDO"}) + "\n";
        if (::write(to_child[1], line.data(), line.size()) < 0) return;
      }
    }};
    ::signal(SIGPIPE, SIG_IGN);
    std::string said;
    char byte = 0;
    const std::uint64_t wanted = 2 + moments.below(6);  // killed after so many answers, in the middle of the next
    while (static_cast<std::uint64_t>(std::ranges::count(said, '\n')) < wanted && ::read(from_child[0], &byte, 1) == 1)
      said += byte;
    std::this_thread::sleep_for(std::chrono::microseconds{moments.below(4000)});
    ::kill(child, SIGKILL);
    ::waitpid(child, nullptr, 0);
    while (::read(from_child[0], &byte, 1) == 1) said += byte;
    ::close(from_child[0]);
    writer.join();
    ::close(to_child[1]);
    said.erase(said.rfind('\n') + 1);  // cut off by the kill
    for (const Json& feedback : feedback_of(said)) acknowledged += feedback["accepted"].get<bool>() ? 1U : 0U;
    const ToolRun next = bench_.run({"show", codes_["bag"][bowl_].substr(8, 9)});
    EXPECT_EQ(next.code, 0) << next.err;
    const std::string events = bench_.expect(0, {"export", "events", "--with-restricted"}).out;
    std::size_t kept = 0;
    for (std::size_t at = 0; (at = events.find("\"kind\":\"scanned\"", at)) != std::string::npos; ++at) ++kept;
    EXPECT_GE(kept, acknowledged) << "an acknowledged scan is lost";
    EXPECT_LE(kept, acknowledged + static_cast<std::size_t>(round) + 1) << "one may be kept before it is shown";
  }
  EXPECT_GE(acknowledged, 12U);
  bench_.expect(0, {"verify-ledger"});
}

}  // namespace
}  // namespace sherdmark::testing
