// Data from anybody: what it holds never reaches the terminal as a command, never becomes a path or an option, and what
// must stay home stays home, in every output there is.
#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "tools/bench.h"

namespace sherdmark::testing {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::json;

// Control characters other than line feed, tab and the end of a CSV line, in their 7- and 8-bit forms (ECMA-48, 5th
// edition, clause 5).
bool holds_controls(const std::string& text) {
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto c = static_cast<unsigned char>(text[i]);
    if (c == '\r' && i + 1 < text.size() && text[i + 1] == '\n') continue;  // how a CSV line ends
    if ((c < 0x20 && c != '\n' && c != '\t') || c == 0x7F) return true;
    if (c == 0xC2 && i + 1 < text.size() && static_cast<unsigned char>(text[i + 1]) < 0xA0) return true;
  }
  return false;
}

class Hostile : public ::testing::Test {
 protected:
  ToolRun harmless(const std::vector<std::string>& arguments) {
    ToolRun result = bench_.run(arguments);
    EXPECT_FALSE(holds_controls(result.out)) << ::testing::PrintToString(arguments) << result.out;
    EXPECT_FALSE(holds_controls(result.err)) << ::testing::PrintToString(arguments) << result.err;
    EXPECT_NE(result.code, 70) << result.err;
    return result;
  }
  Bench bench_;
};

const std::string k_escape =
    "\x1B[2J\x1B]0;x\a\xC2\x9B"
    "31m";

TEST_F(Hostile, the_check_for_control_characters_can_fail) {
  EXPECT_TRUE(holds_controls("a\x1B[2J"));
  EXPECT_TRUE(
      holds_controls("a\xC2\x9B"
                     "b"));
  EXPECT_FALSE(holds_controls("16ZQ5/12.3 – Čeština\n\t"));
}

TEST_F(Hostile, terminal_escapes_in_a_catalog_never_reach_the_terminal) {
  bench_.expect(0, {"init", "--standard", sample("standards/ostervane.toml").string()});
  bench_.write("catalog.csv", "Find number,Name,Material,Pieces,Remarks,Odd" + k_escape + "\r\n2031-114-66,bowl" +
                                  k_escape + ",ceramic,1,x,y\r\n2031-114-67" + k_escape +
                                  ",bowl,ceramic,1,x,y\r\n2031-114-68,bowl,ceramic,one" + k_escape + ",x,y\r\n");
  harmless({"intake", "@/catalog.csv"});
  harmless({"intake", "@/catalog.csv", "--json"});
  harmless({"intake", "@/catalog.csv", "--set-aside", "@/aside" + k_escape + ".csv"});
  harmless({"plan"});
}

TEST_F(Hostile, terminal_escapes_in_names_options_and_house_standards_never_reach_the_terminal) {
  std::string standard = read_text(real_file_system(), sample("standards/ostervane.toml"));
  const std::string name = "name = \"";
  standard.insert(standard.find(name) + name.size(), "\\u001B[2J\\u009B31m");
  bench_.write("standard.toml", standard);
  harmless({"init", "--standard", "@/standard.toml"});
  bench_.write("bad.toml",
               "[standard]\n\""
               "x\\u001B[2J"
               "\" = 1\n");
  harmless({"init", "--standard", "@/bad.toml", "--ledger", "@/other.ledger"});
  if (!fs::exists(bench_.path("collection.ledger")))
    bench_.expect(0, {"init", "--standard", sample("standards/ostervane.toml").string()});
  bench_.write("catalog.csv", small_samples().front().catalog);
  harmless({"intake", "@/catalog.csv"});
  const std::string e = k_escape;
  const std::vector<std::vector<std::string>> lines{
      {"show", e},
      {"history", e},
      {"printed", e},
      {"labels", "--for", e, "--out", "@/s"},
      {"labels", "--reprint", e, "--out", "@/s"},
      {"export", e},
      {"export", "--out", "@/" + e + ".csv"},
      {"read", "@/" + e + ".jpg"},
      {"check", "@/" + e + ".jpg", "--marked", "@/" + e},
      {"plan", "--by", e},
      {"plan", "--ledger", "@/" + e},
      {"backup", "--out", "@/" + e + ".ledger"},
      {"backup", "--archive", "@/" + e},
      {"restore", "@/" + e, "--ledger", "@/new.ledger"},
      {"verify-ledger", "--against", e},
      {e},
      {"show", "--" + e},
  };
  for (const std::vector<std::string>& line : lines) harmless(line);
}

// Judge: qrencode makes the code.
TEST_F(Hostile, terminal_escapes_inside_a_code_are_shown_and_not_sent) {
  const std::string picture = bench_.path("code.png").string();
  ASSERT_EQ(run({"qrencode", "-8", "-s", "8", "-o", picture, "\x1B[2J\x1B]0;x\a"}).exit_code, 0);
  const ToolRun read = harmless({"read", "@/code.png"});
  EXPECT_EQ(read.code, 0);
  EXPECT_NE(read.out.find("[2J"), std::string::npos) << "the code was read: " << read.out;
  const Json json = Json::parse(harmless({"read", "@/code.png", "--json"}).out);
  EXPECT_EQ(json["images"][0]["codes"][0]["text"], "\x1B[2J\x1B]0;x\a") << "JSON keeps it whole";
}

// Bytes of another encoding must neither stop the sheets of everybody else nor make events that no JSON can hold.
TEST_F(Hostile, a_name_that_is_no_utf_8_is_kept_and_printed_as_visible_escapes) {
  start_collection(bench_, small_samples().front());
  bench_.expect(0, {"plan"});
  const std::string bag =
      Json::parse(bench_.expect(0, {"show", "2031-114-66", "--json"}).out)["item"]["bags"][0].get<std::string>();
  harmless({"loan", "lend", bag, "--to", "M\xFCller", "--until", "2031-12-01"});
  harmless({"reserve", "block", "--crew", "M\xFCller", "--count", "1"});
  EXPECT_EQ(harmless({"labels", "--due", "--out", "@/sheets"}).code, 0);
  const std::string events = harmless({"export", "events", "--with-restricted"}).out;
  EXPECT_NE(events.find("\\xFCller"), std::string::npos);
  EXPECT_EQ(events.find("\xEF\xBF\xBD"), std::string::npos)
      << "a replaced character would not hash to the event's hash";
  bench_.expect(0, {"verify-ledger"});
}

TEST_F(Hostile, terminal_escapes_in_a_class_of_error_never_reach_the_terminal) {
  start_collection(bench_, small_samples().front());
  bench_.expect(0, {"audit", "draw", "--size", "1", "--error", "wet" + k_escape + "=any water"});
  bench_.write("results.txt", "#1 wet" + k_escape + " and cold\n");
  for (const std::vector<std::string>& line : std::vector<std::vector<std::string>>{
           {"audit", "record", "@/results.txt"}, {"audit", "show"}, {"audit", "conclude", "--out", "@/audit"}}) {
    const ToolRun done = harmless(line);
    EXPECT_LE(done.code, 1) << done.err;
  }
}

TEST_F(Hostile, names_with_line_breaks_and_names_that_are_options_are_files_like_any_other) {
  const fs::path folder = bench_.path("odd");
  fs::create_directories(folder);
  ASSERT_EQ(run({"qrencode", "-s", "8", "-o", (folder / "two\nlines.png").string(), "x"}).exit_code, 0);
  ASSERT_EQ(run({"qrencode", "-s", "8", "-o", (folder / "--json.png").string(), "x"}).exit_code, 0);
  const ToolRun read = harmless({"read", "@/odd/two\nlines.png", "@/odd/--json.png"});
  EXPECT_EQ(read.code, 0);
  EXPECT_EQ(read.out.find("two\nlines"), std::string::npos) << "one file, one line";
  // Without a folder in front, such a name needs "--", as everywhere.
  const ToolRun missing = harmless({"read", "--", "--json.png"});
  EXPECT_EQ(missing.code, 4);
  EXPECT_NE(missing.out.find("--json.png: could not open"), std::string::npos) << missing.out;
}

// --- files: nothing outside the folder, nothing replaced in silence
// ------------------------------------------------------

TEST_F(Hostile, labels_write_into_their_folder_only_and_say_when_a_file_was_there) {
  start_collection(bench_, small_samples().front());
  bench_.expect(0, {"plan"});
  const std::set<std::string> before = bench_.files();
  const Json run =
      Json::parse(bench_.expect(0, {"labels", "--for", "bags", "--out", "@/deep/../sheets/in/here", "--json"}).out);
  for (const std::string& file : bench_.files())
    if (!before.contains(file)) {
      EXPECT_TRUE(file.starts_with("sheets/in/here/")) << file;
    }
  const std::string id = run["run"];
  const std::string again = "@/again";
  // The next run's file is there already, by whatever chance: said, not silent.
  const ToolRun reprint = bench_.expect(0, {"labels", "--reprint", id, "--out", again});
  EXPECT_EQ(reprint.err.find("has been replaced"), std::string::npos);
}

TEST_F(Hostile, marked_pictures_of_one_name_from_two_folders_stay_two_and_inside_their_folder) {
  start_collection(bench_, small_samples().front());
  for (const char* folder : {"a", "b"}) {
    fs::create_directories(bench_.path(folder));
    ASSERT_EQ(run({"qrencode", "-s", "8", "-o", (bench_.path(folder) / "x.png").string(), "x"}).exit_code, 0);
  }
  const std::set<std::string> before = bench_.files();
  const ToolRun first = harmless({"check", "@/a/x.png", "@/b/../b/x.png", "--marked", "@/marked"});
  std::set<std::string> made;
  for (const std::string& file : bench_.files())
    if (!before.contains(file)) made.insert(file);
  EXPECT_EQ(made, (std::set<std::string>{"marked/x-marked.jpg", "marked/x-marked-2.jpg"})) << first.err;
  const ToolRun second = harmless({"check", "@/a/x.png", "--marked", "@/marked"});
  EXPECT_NE(second.err.find("@/marked/x-marked.jpg: the file that was there has been replaced."), std::string::npos)
      << second.err;
  EXPECT_NE(harmless({"check", "@/a/x.png", "--save", "@/a/x.png"}).err.find("has been replaced"), std::string::npos);
}

// --- what must stay home
// -----------------------------------------------------------------------------------------------

// Every restricted cell holds a word that stands nowhere else. Quillow Ferry restricts care flags, remarks, UTM and
// consultation; these rows fill them all.
class Privacy : public Hostile {
 protected:
  static constexpr const char* k_secret = "ZWQX";

  Privacy() {
    bench_.write("catalog.csv",
                 "Cat. No.,Acc #,Type,Description,Material,Surface/Condition,Qty,Max Dim (mm),Unit,Level,Bag(s),"
                 "Notes,UTM East,UTM North,Consultation\r\n"
                 "16ZQ5/12.66,2031.4,artifact,bowl,ceramic,sound,1,82,N10E20,2,B1,"
                 "ZWQXremark,ZWQXeast1,ZWQXnorth1,ZWQXconsult1\r\n"
                 "16ZQ5/12.67,2031.4,bulk,body sherds,ceramic,sound,60,41,N10E20,2,B2,"
                 "ZWQXremark2,ZWQXeast2,ZWQXnorth2,ZWQXconsult2\r\n");
    bench_.write("changed.csv",
                 "Cat. No.,Acc #,Type,Description,Material,Surface/Condition,Qty,Max Dim (mm),Unit,Level,Bag(s),"
                 "Notes,UTM East,UTM North,Consultation\r\n"
                 "16ZQ5/12.66,2031.4,artifact,bowl,ceramic,sound,1,82,N10E20,2,B1,"
                 "ZWQXother,ZWQXeast9,ZWQXnorth9,ZWQXconsult9\r\n"
                 "16ZQ5/12.67,2031.4,bulk,body sherds,ceramic,sound,61,41,N10E20,2,B2,"
                 "\xFFZWQXbroken,ZWQXeast2,ZWQXnorth2,ZWQXconsult2\r\n");
    bench_.expect(0, {"init", "--standard", sample("standards/quillow_ferry.toml").string()});
  }

  ToolRun discreet(const std::vector<std::string>& arguments) {
    ToolRun result = harmless(arguments);
    EXPECT_EQ(result.out.find(k_secret), std::string::npos) << ::testing::PrintToString(arguments) << result.out;
    EXPECT_EQ(result.err.find(k_secret), std::string::npos) << ::testing::PrintToString(arguments) << result.err;
    return result;
  }

  // Files that may hold everything: the ledger, what was typed, and what was asked for with a recorded export.
  static bool may_hold_secrets(const std::string& name) {
    return name.ends_with(".ledger") || name == "catalog.csv" || name == "changed.csv" || name.starts_with("full/") ||
           name == "aside.csv" || name == "full.csv";
  }

  // Every file the tool wrote; PDFs as text too (judge: pdftotext), pictures as the bytes they are.
  void look_through_all_files() {
    int looked = 0;
    for (const std::string& name : bench_.files()) {
      if (may_hold_secrets(name)) continue;
      ++looked;
      EXPECT_EQ(bench_.read(name).find(k_secret), std::string::npos) << name;
      if (name.ends_with(".pdf")) {
        const RunResult text = run({"pdftotext", bench_.path(name).string(), "-"});
        ASSERT_EQ(text.exit_code, 0) << text.err;
        EXPECT_EQ(text.out.find(k_secret), std::string::npos) << name;
        EXPECT_FALSE(text.out.empty());
      }
    }
    EXPECT_GE(looked, 10);
  }
};

TEST_F(Privacy, nothing_planted_in_restricted_columns_leaves_without_being_asked_for) {
  discreet({"intake", "@/catalog.csv", "--dry-run"});
  discreet({"intake", "@/catalog.csv"});
  discreet({"intake", "@/changed.csv", "--dry-run"});
  discreet({"intake", "@/changed.csv", "--dry-run", "--json"});
  discreet({"plan", "--json"});
  discreet({"plan"});
  for (const char* role : {"artifacts", "bags", "tags"})
    discreet({"labels", "--for", role, "--out", "@/sheets", "--preview-dpi", "100", "--json"});
  const Json shown = Json::parse(discreet({"show", "16ZQ5/12.66", "--json"}).out);
  const std::string bag = shown["item"]["bags"][0];
  for (const std::string& name : {std::string{"16ZQ5/12.66"}, std::string{"16ZQ5/12"}, bag}) {
    discreet({"show", name});
    discreet({"show", name, "--json"});
    discreet({"history", name});
    discreet({"history", name, "--json"});
  }
  for (const char* what : {"catalog", "bags", "labels"}) {
    discreet({"export", what});
    discreet({"export", what, "--out", std::string{"@/"} + what + "-copy.csv"});
  }
  discreet({"backup", "--archive", "@/public"});
  discreet({"backup", "--out", "@/copy.ledger"});
  discreet({"verify-ledger", "--json"});
  ASSERT_EQ(
      run({"sqlite3", bench_.path("copy.ledger").string(), "UPDATE items SET remarks = 'ZWQXtampered'"}).exit_code, 0);
  discreet({"verify-ledger", "--ledger", "@/copy.ledger"});
  discreet({"check", "@/sheets", "--marked", "@/marked", "--save", "@/verdicts.json"});
  discreet({"describe", "man"});
  look_through_all_files();
}

// What a working day, an inventory and an audit say, print and write.
TEST_F(Privacy, nothing_planted_in_restricted_columns_leaves_through_a_working_day_an_inventory_or_an_audit) {
  bench_.expect(0, {"intake", "@/catalog.csv"});
  bench_.expect(0, {"plan"});
  for (const char* role : {"artifacts", "bags", "tags"}) {
    const ToolRun made = bench_.expect(0, {"labels", "--for", role, "--out", "@/sheets", "--json"});
    bench_.expect(0, {"printed", Json::parse(made.out)["run"]});
  }
  const std::string bag = Json::parse(bench_.expect(0, {"show", "16ZQ5/12.66", "--json"}).out)["item"]["bags"][0];
  bench_.write("scans.txt", bag + "\n");
  bench_.write("results.txt", "#1 correct\n");
  const std::vector<std::vector<std::string>> day{
      {"bench", "list", bag, "--out", "@/sheets/bench.pdf"},
      {"bench", "applied", "16ZQ5/12.66", "--copies", "1"},
      {"bench", "drying", "--json"},
      {"move", bag, "--to", "Room 9", "--new-place"},
      {"box-list", "--out", "@/boxes"},
      {"inventory", "open"},
      {"inventory", "scans", "@/scans.txt", "--place", "Room 9"},
      {"inventory", "status"},
      {"inventory", "close", "--out", "@/reports"},
      {"inventory", "report", "--json"},
      {"audit", "draw", "--show-counts", "--out", "@/audit"},
      {"audit", "record", "@/results.txt"},
      {"audit", "conclude", "--rest", "no time", "--out", "@/audit"},
      {"audit", "show", "--json"},
      {"recount", bag, "--item", "16ZQ5/12.66", "--pieces", "2", "--reason", "counted again"},
      {"loan", "lend", bag, "--to", "M. Oduya", "--until", "2031-12-01", "--slip", "@/sheets/slip.pdf"},
      {"loan", "list"},
      {"labels", "--for", "removal-slips", "--out", "@/sheets"},
      {"restrict", "16ZQ5/12.67", "--flag", "consultation_pending", "--reason", "asked for"},
      {"type", "--out", "@/sheets"},
      {"check", "@/sheets", "--record", "--marked", "@/marked"},
      {"review", "--crops", "@/crops"},
      {"history", bag},
      {"history", "16ZQ5/12.66", "--json"},
      {"backup", "--archive", "@/public", "--zip"},
  };
  for (const std::vector<std::string>& line : day) {
    const ToolRun done = discreet(line);
    EXPECT_LE(done.code, 1) << ::testing::PrintToString(line) << done.err;
  }
  look_through_all_files();
}

TEST_F(Privacy, what_is_restricted_stands_in_no_answer_about_a_bag_in_no_history_and_on_no_slip) {
  std::string standard = read_text(real_file_system(), sample("standards/quillow_ferry.toml"));
  const std::string classes = "[column_classes]\n";
  ASSERT_NE(standard.find(classes), std::string::npos);
  standard.insert(
      standard.find(classes) + classes.size(),
      "place = \"location-restricted\"\nassembly = \"care-restricted\"\nformer_numbers = \"care-restricted\"\n");
  bench_.write("stricter.toml", standard);
  bench_.expect(0, {"intake", "@/catalog.csv"});
  const std::string bag = Json::parse(bench_.expect(0, {"show", "16ZQ5/12.66", "--json"}).out)["item"]["bags"][0];
  bench_.expect(0, {"move", bag, "--to", "ZWQXroom", "--home", "--new-place"});
  bench_.expect(0, {"inventory", "open", "--place", "ZWQXroom"});
  bench_.write("scans.txt", bag + "\n");
  bench_.expect(0, {"inventory", "scans", "@/scans.txt", "--place", "ZWQXroom"});
  EXPECT_NE(bench_.expect(0, {"show", bag}).out.find("at home in ZWQXroom"), std::string::npos) << "to be found";
  bench_.expect(0, {"assembly", "ZWQXjar", "--add", "16ZQ5/12.66", "--add", "16ZQ5/12.67"});
  bench_.write("former.csv", "Old,New\r\nZWQX7,16ZQ5/12.66\r\n");
  bench_.expect(0, {"concordance", "@/former.csv", "--former", "Old", "--number", "New"});
  bench_.expect(0, {"restrict", "16ZQ5/12.67", "--flag", "consultation_pending", "--reason", "asked for"});
  bench_.expect(0, {"restrict", "16ZQ5/12.67", "--flag", "consultation_pending", "--lift", "--reason", "answered"});
  bench_.expect(0, {"standard", "--adopt", "@/stricter.toml"});
  const std::string jar = discreet({"history", "16ZQ5/12.66"}).out;
  EXPECT_NE(jar.find("joined an assembly"), std::string::npos) << jar;
  EXPECT_NE(jar.find("A former number of 16ZQ5/12.66 was entered"), std::string::npos) << jar;
  const std::string lifted = discreet({"history", "16ZQ5/12.67"}).out;
  EXPECT_NE(lifted.find("A care flag was lifted from 16ZQ5/12.67"), std::string::npos) << lifted;
  EXPECT_EQ(lifted.find("consultation_pending"), std::string::npos) << lifted;
  EXPECT_NE(discreet({"show", bag}).out.find("at home in (restricted)"), std::string::npos);
  const Json shown = Json::parse(discreet({"show", bag, "--json"}).out)["bag"];
  EXPECT_EQ(shown["home"], nullptr);
  EXPECT_EQ(shown["restricted"], Json({"home", "now"}));
  const std::string past = discreet({"history", bag}).out;
  for (const char* words : {"was moved to a place that is restricted, its new home", " at a place that is restricted."})
    EXPECT_NE(past.find(words), std::string::npos) << past;
  bench_.expect(0, {"loan", "lend", bag, "--to", "M. Oduya", "--slip", "@/slip.pdf"});
  const RunResult slip = run({"pdftotext", bench_.path("slip.pdf").string(), "-"});
  EXPECT_NE(slip.out.find("(restricted)"), std::string::npos);
  EXPECT_EQ(slip.out.find(k_secret), std::string::npos) << slip.out;
}

TEST_F(Privacy, the_secrets_are_there_to_be_found_and_leave_only_by_a_recorded_export) {
  bench_.expect(0, {"intake", "@/catalog.csv"});
  for (const char* word : {"ZWQXremark", "ZWQXeast1", "ZWQXnorth1", "ZWQXconsult1"}) {
    EXPECT_NE(bench_.read("collection.ledger").find(word), std::string::npos) << word;
    EXPECT_NE(bench_.expect(0, {"export", "--with-restricted"}).out.find(word), std::string::npos) << word;
  }
  bench_.expect(0, {"backup", "--archive", "@/full", "--with-restricted"});
  EXPECT_NE(bench_.read("full/catalog.csv").find("ZWQXeast1"), std::string::npos);
  EXPECT_NE(bench_.read("full/records/items.csv").find("ZWQXeast1"), std::string::npos);
  const RunResult exports = run({"sqlite3", bench_.path("collection.ledger").string(),
                                 "SELECT count(*) FROM events WHERE kind = 'exported' AND payload LIKE '%UTM East%'"});
  EXPECT_EQ(exports.out, "5\n");
}

// One gate (lib/include/sherdmark/standard/privacy.h): no other source decides by a column's class.
TEST(PrivacyGate, is_the_only_place_that_asks_whether_a_column_is_restricted) {
  int looked = 0;
  for (const char* top : {"lib", "tools"})
    for (const fs::directory_entry& entry : fs::recursive_directory_iterator{source_dir() / top}) {
      const std::string name = entry.path().filename().string();
      if (!entry.is_regular_file() || (!name.ends_with(".cpp") && !name.ends_with(".h"))) continue;
      ++looked;
      if (name == "privacy.h" || name == "house_standard.h") continue;
      const std::string text = read_text(real_file_system(), entry.path());
      EXPECT_EQ(text.find("ColumnClass::location_restricted"), std::string::npos) << entry.path();
      EXPECT_EQ(text.find("ColumnClass::care_restricted"), std::string::npos) << entry.path();
    }
  EXPECT_GE(looked, 150);
}

}  // namespace
}  // namespace sherdmark::testing
