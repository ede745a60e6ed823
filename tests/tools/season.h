// A small collection of 24 bags in two rooms, printed and ready for the working day, for the tests that live a season.
#pragma once

#include <gtest/gtest.h>

#include <fmt/format.h>

#include <map>
#include <nlohmann/json.hpp>
#include <set>

#include "sherdmark/base/text.h"
#include "tools/bench.h"

namespace sherdmark::testing {

using Json = nlohmann::json;

struct LabelledBag {
  std::string id;
  std::string item;
  std::string place;
  std::string code;  // text of its bag label's code
  std::string tag_code;
};

class Season : public ::testing::Test {
 protected:
  static constexpr int k_items = 24;

  Json json(int code, std::vector<std::string> arguments) {
    arguments.push_back("--json");
    const ToolRun result = bench_.expect(code, arguments);
    Json document = Json::parse(result.out, nullptr, false);
    EXPECT_FALSE(document.is_discarded()) << result.out << result.err;
    EXPECT_EQ(document.value("schema", 0), 1);
    return document;
  }

  static std::string place_of(int item) {
    return item > 20 ? "Room 3/Range A/Shelf 1" : fmt::format("Room 2/Range A/Shelf {}", (item - 1) / 5 + 1);
  }

  // Bags 1 … 20 in Room 2 on four shelves, 21 … 24 in Room 3; box 14 holds the first shelf; bag 20 is restricted.
  void set_up_collection() {
    bench_.expect(0, {"init", "--standard", sample("standards/quillow_ferry.toml").string()});
    std::string catalog =
        "Cat. No.,Acc #,Type,Description,Material,Surface/Condition,Qty,Max Dim (mm),Bag(s),Home,Box,Care\r\n";
    for (int i = 1; i <= k_items; ++i)
      catalog += fmt::format("16ZQ5/12.{0},2031.4,artifact,body sherd,ceramic,sound,{1},40,B{0},{2},{3},{4}\r\n", i,
                             i + 2, place_of(i), i <= 5 ? "14" : "", i == 20 ? "sacred" : "");
    bench_.write("catalog.csv", catalog);
    bench_.expect(0, {"register", "Ana Quill"});
    bench_.expect(0, {"intake", "@/catalog.csv"});
    bench_.expect(0, {"plan"});
  }

  void print_labels(const std::string& role) {
    const Json run = json(0, {"labels", "--for", role + "s", "--out", "@/sheets"});
    bench_.expect(0, {"printed", run["run"]});
    const Json placements = Json::parse(bench_.read("sheets/" + role + "-" + run["run"].get<std::string>() + ".json"));
    for (const Json& label : placements["labels"])
      (role == "bag" ? code_of_ : tag_code_of_)[label["bag"]] = label["code"]["text"];
  }

  void find_bags() {
    for (int i = 1; i <= k_items; ++i) {
      const std::string item = fmt::format("16ZQ5/12.{}", i);
      const std::string id = json(0, {"show", item})["item"]["bags"][0];
      bags_.push_back({id, item, place_of(i), code_of_[id], tag_code_of_[id]});
    }
  }

  [[nodiscard]] const LabelledBag& bag(int number) const { return bags_.at(static_cast<std::size_t>(number - 1)); }

  // One code a line, shelf by shelf; `skip` is not scanned.
  [[nodiscard]] std::string scans_of_room_2(const std::set<int>& skip) const {
    std::string text;
    for (int i = 1; i < 20; ++i) {
      if ((i - 1) % 5 == 0) text += "place " + place_of(i) + "\n";
      if (!skip.contains(i)) text += bag(i).code + "\n";
    }
    return text;
  }

  // finding → what it was said of.
  static std::map<std::string, std::vector<std::string>> findings(const Json& report) {
    std::map<std::string, std::vector<std::string>> found;
    for (const Json& line : report["lines"])
      for (const Json& one : line["findings"])
        found[one["finding"]].push_back(line["bag"].is_null() ? line["text"].get<std::string>()
                                                              : line["bag"].get<std::string>());
    return found;
  }

  Bench bench_;
  std::map<std::string, std::string> code_of_, tag_code_of_;
  std::vector<LabelledBag> bags_;
};

}  // namespace sherdmark::testing
