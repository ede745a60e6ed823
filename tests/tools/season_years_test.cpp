// Two years of one collection: field log, labels, bench, bags closed, inventories, grades that fall, loans, an audit.
// Every fault that is planted must come out in the right finding, and nothing else.
#include <gtest/gtest.h>

#include <algorithm>

#include "sherdmark/base/units.h"
#include "sherdmark/code/link_code.h"
#include "sherdmark/scan/image.h"
#include "sherdmark/sheet/sheets.h"
#include "tools/season.h"

namespace sherdmark::testing {
namespace {

class SeasonYears : public Season {
 protected:
  static constexpr double k_dpi = 300;
  static constexpr double k_faded = 0.3;  // of the ink's darkness that is left
  using Findings = std::map<std::string, std::vector<std::string>>;

  void at(const std::string& time) { bench_.clock().set(parse_time(time)); }

  void bind_field_log() {
    bench_.expect(0, {"reserve", "block", "--crew", "Landing crew", "--count", "5"});
    bench_.expect(0, {"reserve", "issue", "1-5"});
    bench_.write("bad_log.csv", "FS#,Lot,Crew\r\nFS 1,16ZQ5/12,Landing crew\r\nFS 900,16ZQ5/12,Landing crew\r\n");
    const Json refused = json(3, {"bind", "@/bad_log.csv"});
    EXPECT_EQ(refused["problems"].size(), 1U) << refused;
    EXPECT_TRUE(refused["bound"].is_null()) << refused;
    bench_.write("log.csv", "FS#,Lot,Crew\r\nFS 1,16ZQ5/12,Landing crew\r\nFS 2,16ZQ5/12,Landing crew\r\n");
    EXPECT_EQ(json(0, {"bind", "@/log.csv"})["bound"], 2);
    EXPECT_EQ(json(0, {"show", "FS 2"})["number"]["bound_to"], "16ZQ5/12");
  }

  // Every copy of the sheet is accounted for: one destroyed, the rest applied.
  void apply_artifact_labels() {
    const Json run = json(0, {"labels", "--for", "artifacts", "--out", "@/sheets"});
    bench_.expect(0, {"printed", run["run"]});
    const Json list = json(0, {"bench", "list", run["run"]});
    const Json& steps = list["lines"];
    ASSERT_FALSE(steps.empty()) << list;
    EXPECT_EQ(bench_.run({"bench", "close", run["run"]}).code, 1) << "nothing is applied yet";
    bench_.expect(0, {"bench", "destroyed", steps[0]["number"], "--copies", "1"});
    std::string typed;  // one line a copy, as a person ticks them off
    for (std::size_t i = 0; i < steps.size(); ++i)
      for (int copies = steps[i]["copies"]["waiting"].get<int>() - (i == 0 ? 1 : 0); copies > 0; --copies)
        typed += steps[i]["number"].get<std::string>() + "\n";
    bench_.answer(typed);
    bench_.expect(0, {"bench", "applied", "-"});
    bench_.expect(0, {"bench", "close", run["run"]});
    bench_.expect(1, {"bench", "bagged", bag(7).id});  // it is not dry, and no reason is given: not closed
    bench_.expect(1, {"bench", "bagged", bag(7).id, "--reason", "the van left"});
    at("2031-05-05T15:00:00Z");
    bench_.expect(0, {"bench", "bagged", bag(8).id});
  }

  // A photograph of one bag's label, on grey; `ink`: what is left of its darkness.
  void photograph(const LabelledBag& one, double ink) {
    for (const PlacedLabel& label : labels_) {
      if (label.bag != one.id) continue;
      const std::string name = fmt::format("sheets/{}-page-{}.png", stem_, label.page);
      const std::string png = bench_.read(name);
      const GreyPicture page = std::move(read_image(as_byte_span(png), name).front().grey);
      const auto px = [](double mm) { return static_cast<int>(mm_to_dots(mm, k_dpi) + 0.5); };
      const GreyView part = page.view().crop(px(label.x_mm), px(label.y_mm), px(label.w_mm), px(label.h_mm));
      constexpr int k_border = 60;
      GreyPicture picture{part.width_px + 2 * k_border, part.height_px + 2 * k_border, 225};
      for (int y = 0; y < part.height_px; ++y)
        for (int x = 0; x < part.width_px; ++x)
          picture.row(y + k_border)[x + k_border] = static_cast<std::uint8_t>(245 - ink * (255 - part.at(x, y)) * 0.9);
      const std::filesystem::path file = bench_.path("photos/" + one.id + ".png");
      std::filesystem::create_directories(file.parent_path());
      real_file_system().write_atomic(file, [&](const ByteSink& sink) { write_png(picture.view(), sink); });
      return;
    }
    FAIL() << "no label of " << one.id;
  }

  void print_bag_labels_with_pictures() {
    const Json run = json(0, {"labels", "--for", "bags", "--out", "@/sheets", "--preview-dpi", "300"});
    bench_.expect(0, {"printed", run["run"]});
    stem_ = "bag-" + run["run"].get<std::string>();
    labels_ = read_placements_json(bench_.read("sheets/" + stem_ + ".json"), stem_).labels;
    for (const PlacedLabel& label : labels_) code_of_[label.bag.value()] = label.code->text;
  }

  // Live, shelf by shelf; `extra` follows the bag it names.
  std::string scanned(const std::set<int>& skip, const std::map<int, std::string>& extra = {}) {
    std::string typed;
    for (int i = 1; i < 20; ++i) {
      if ((i - 1) % 5 == 0) typed += "place " + place_of(i) + "\n";
      if (skip.contains(i)) continue;
      typed += bag(i).code + "\n";
      if (extra.contains(i)) typed += extra.at(i) + "\n";
    }
    return typed;
  }

  std::string stem_;
  PlacedLabels labels_;
};

TEST_F(SeasonYears, two_years_of_planted_faults_come_out_in_their_findings_and_nothing_else) {
  set_up_collection();
  bench_.expect(0, {"register", "Tove Lind"});
  bind_field_log();
  print_bag_labels_with_pictures();
  print_labels("tag");
  find_bags();
  apply_artifact_labels();

  // The first inventory, live and by photographs: all is well.
  json(0, {"inventory", "open", "--place", "Room 2"});
  const std::set<int> photographed{11, 12, 13};
  for (const int i : photographed) photograph(bag(i), 1);
  bench_.expect(1, {"check", "@/photos", "--inventory", "open", "--place", place_of(11)});  // labels alone: incomplete
  bench_.answer(scanned({11, 12, 13, 15}, {{14, "NEXT\n" + bag(15).tag_code}}) + "END\n");
  bench_.expect(0, {"inventory", "scan"});
  const Json first = json(0, {"inventory", "close", "--out", "@/reports"});
  EXPECT_EQ(findings(first), Findings{});
  EXPECT_EQ(first["totals"]["seen_at_home"], 19);

  // Between the years: two bags go on loan; one of them came back and nobody wrote it down. A label is forbidden.
  json(0, {"loan", "lend", bag(18).id, bag(19).id, "--to", "Invented Coast Museum", "--until", "2032-12-01"});
  bench_.expect(0, {"void", parse_code_text(bag(7).code).link.value().serial, "--reason", "smudged"});

  // The second: bag 3 is lost, bag 4 on the wrong shelf, bag 6 a piece short, bag 7 wears its old label, bag 9's label
  // is written twice by hand, the labels of 12 and 13 have faded, a thing without a label lies there, a bag of Room 3.
  at("2032-05-04T09:00:00Z");
  bench_.expect(0, {"inventory", "numbers", "FIC-2032-", "--count", "2"});
  json(0, {"inventory", "open", "--place", "Room 2"});
  for (const int i : photographed) photograph(bag(i), i == 11 ? 1 : k_faded);
  bench_.expect(1, {"check", "@/photos", "--inventory", "open", "--place", place_of(11)});
  bench_.answer(scanned({3, 4, 11, 12, 13, 19}, {{6, "count 7"}, {7, bag(8).code}, {8, bag(8).code}}) +
                "place Room 2/Range A/Shelf 3\n" + bag(4).code + "\nfound iron knife\n" + bag(21).code + "\n" +
                bag(22).code + "\nUNDO\nEND\n");
  bench_.expect(1, {"inventory", "scan", "--by", "Ana Quill"});
  const Json second = json(1, {"inventory", "close", "--out", "@/reports"});
  const Findings planted{{"not found", {bag(3).id}},
                         {"seen elsewhere", {bag(4).id}},
                         {"count differs", {bag(6).id}},
                         {"stale label", {bag(7).id}},
                         {"on loan, but here", {bag(18).id}},
                         {"fading label", {bag(12).id, bag(13).id}},
                         {"unlabelled", {"FIC-2032-001: iron knife"}},
                         {"extra", {bag(21).id}}};
  EXPECT_EQ(findings(second), planted);
  const std::string stem = "reports/inventory-" + second["inventory"]["id"].get<std::string>();
  const auto pages = testing::run({"pdftotext", "-layout", bench_.path(stem + ".pdf").string(), "-"});
  EXPECT_NE(pages.out.find("Grades over the years"), std::string::npos) << pages.out;

  // An audit by somebody without a hand in it: who takes part stands in the chain, she does not.
  const Json audit =
      json(0, {"audit", "draw", "--place", "Room 2", "--size", "12", "--seed", "two years", "--by", "Tove Lind"});
  std::string results;
  int wrong = 0;
  for (const Json& draw : audit["draws"]) {
    const bool lost = draw["subject"] == bag(3).id;
    wrong += lost ? 1 : 0;
    results += fmt::format("#{} {}\n", draw["rank"].get<int>(), lost ? "not found" : "correct");
  }
  bench_.write("results.txt", results);
  bench_.expect(0, {"audit", "record", "@/results.txt", "--by", "Tove Lind"});
  const ToolRun concluded = bench_.run({"audit", "conclude", "--json", "--by", "Tove Lind"});
  const Json conclusion = Json::parse(concluded.out)["conclusion"];
  EXPECT_EQ(conclusion["bounds"][0]["errors"], wrong);
  EXPECT_TRUE(conclusion["auditors_in_chain"].empty()) << conclusion;
  bench_.expect(0, {"verify-ledger"});
}

}  // namespace
}  // namespace sherdmark::testing
