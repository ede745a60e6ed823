// Proving, backing up, archiving and restoring from the command line; packages judged by sha256sum and sqlite3.
#include <gtest/gtest.h>

#include <chrono>
#include <filesystem>

#include <nlohmann/json.hpp>

#include "sherdmark/base/unfinished.h"
#include "sherdmark/catalog/zip_files.h"
#include "tools/bench.h"

namespace sherdmark::testing {
namespace {

namespace fs = std::filesystem;

class Safety : public ::testing::Test {
 protected:
  Safety() { start_collection(bench_, small_samples().front()); }
  Bench bench_;
};

TEST_F(Safety, a_whole_ledger_holds_and_its_head_can_be_kept_on_paper) {
  const auto proof = nlohmann::json::parse(bench_.expect(0, {"verify-ledger", "--json"}).out);
  EXPECT_EQ(proof["schema"], 1);
  EXPECT_EQ(proof["good"], true);
  const std::string digits = proof["heads"][0]["hash"];
  const std::string head = proof["heads"][0]["station"].get<std::string>() + ":" +
                           std::to_string(proof["heads"][0]["sequence"].get<int>()) + ":" + digits.substr(0, 20);
  bench_.expect(0, {"plan"});
  const ToolRun same = bench_.expect(0, {"verify-ledger", "--against", head});
  EXPECT_NE(same.out.find("@/collection.ledger holds: "), std::string::npos) << same.out;
  EXPECT_NE(same.out.find("Nothing up to event"), std::string::npos) << same.out;
  EXPECT_NE(same.out.find("; 1 more follows."), std::string::npos) << same.out;
  const ToolRun other = bench_.expect(1, {"verify-ledger", "--against", std::string(16, 'f')});
  EXPECT_NE(other.out.find("no event with these digits"), std::string::npos) << other.out;
  EXPECT_EQ(
      bench_.expect(2, {"verify-ledger", "--against", "nonsense"}).err,
      "sherdmark: \"nonsense\" is no head of a ledger. Key it as it was printed: station, number and digits, like "
      "7KM:42:9f86d081 884c7d65; at least 16 of the 64 digits.\n");
}

TEST_F(Safety, a_changed_record_is_a_finding) {
  ASSERT_EQ(run({"sqlite3", bench_.path("collection.ledger").string(), "UPDATE items SET material = 'gold'"}).exit_code,
            0);
  const ToolRun found = bench_.expect(1, {"verify-ledger"});
  EXPECT_NE(found.out.find("does NOT hold"), std::string::npos) << found.out;
  EXPECT_NE(found.out.find("table items, row 1"), std::string::npos) << found.out;
}

TEST_F(Safety, what_is_no_backup_is_named_and_nothing_is_left_of_the_attempt) {
  bench_.write("letter.txt", "Dear colleague");
  EXPECT_NE(
      bench_.expect(3, {"restore", "@/letter.txt", "--ledger", "@/new.ledger"}).err.find("letter.txt: this is not"),
      std::string::npos);
  std::filesystem::create_symlink("round", bench_.path("round"));
  const ToolRun round = bench_.expect(4, {"restore", "@/round", "--ledger", "@/new.ledger"});
  EXPECT_NE(round.err.find("round: Too many levels of symbolic links"), std::string::npos) << round.err;
  EXPECT_FALSE(std::filesystem::exists(unfinished_name(bench_.path("new.ledger"))));
  EXPECT_FALSE(std::filesystem::exists(bench_.path("new.ledger")));
}

TEST_F(Safety, a_backup_is_proven_never_overwritten_and_restored) {
  bench_.expect(0, {"backup", "--out", "@/copy.ledger"});
  EXPECT_EQ(run({"sqlite3", bench_.path("copy.ledger").string(), "SELECT count(*) FROM items"}).out, "4\n");
  EXPECT_NE(bench_.expect(4, {"backup", "--out", "@/copy.ledger"}).err.find("never overwritten"), std::string::npos);
  bench_.expect(0, {"backup", "--out", "@/backups of May/monday.ledger"});
  EXPECT_TRUE(bench_.files().contains("backups of May/monday.ledger")) << "the folder is made";
  EXPECT_NE(bench_.expect(4, {"backup", "--out", "@/copy.ledger/monday.ledger"}).err.find("could not be written"),
            std::string::npos);
  const ToolRun restored = bench_.expect(0, {"restore", "@/copy.ledger", "--ledger", "@/again.ledger"});
  EXPECT_NE(restored.out.find("goes on as station"), std::string::npos) << restored.out;
  bench_.expect(0, {"verify-ledger", "--ledger", "@/again.ledger"});
  bench_.expect(0, {"show", "2031-114-66", "--ledger", "@/again.ledger"});
  bench_.expect(4, {"restore", "@/copy.ledger"});
}

TEST_F(Safety, an_archive_package_checks_itself_explains_itself_and_becomes_a_ledger_again) {
  bench_.expect(0, {"plan"});
  const auto labels =
      nlohmann::json::parse(bench_.expect(0, {"labels", "--for", "bags", "--out", "@/s", "--json"}).out);
  const std::string placements = "@/s/bag-" + labels["run"].get<std::string>() + ".json";
  const ToolRun made =
      bench_.expect(0, {"backup", "--archive", "@/archive", "--with-restricted", "--placements", placements});
  EXPECT_NE(made.out.find("README.txt says what they are"), std::string::npos) << made.out;
  const auto checked = run({"sh", "-c", "cd \"$0\" && sha256sum -c SHA256SUMS", bench_.path("archive").string()});
  EXPECT_EQ(checked.exit_code, 0) << checked.out << checked.err;
  for (const char* name : {"README.txt", "catalog.csv", "bags.csv", "labels.csv", "house-standard.toml", "events.jsonl",
                           "collection.ledger", "records/items.csv", "formats/link-code.md", "formats/ledger.md"})
    EXPECT_NE(checked.out.find(std::string{name} + ": OK"), std::string::npos) << name;
  EXPECT_NE(checked.out.find("placements/bag-"), std::string::npos);
  // Every file of the package is named by its sums, and every file that always lies in it by its README.
  std::size_t files = 0;
  for (const std::string& name : bench_.files()) files += name.starts_with("archive/") ? 1 : 0;
  EXPECT_EQ(static_cast<std::size_t>(std::count(checked.out.begin(), checked.out.end(), '\n')) + 1, files);
  const std::string readme = bench_.read("archive/README.txt");
  for (const char* word : {"catalog.csv", "bags.csv", "labels.csv", "house-standard.toml", "events.jsonl", "records/",
                           "collection.ledger", "placements/", "SHA256SUMS", "sha256sum -c"})
    EXPECT_NE(readme.find(word), std::string::npos) << word;

  bench_.expect(0, {"restore", "@/archive", "--ledger", "@/again.ledger"});
  const auto history = bench_.expect(0, {"export", "events", "--with-restricted", "--ledger", "@/again.ledger"}).out;
  EXPECT_NE(history.find("\"exported\""), std::string::npos) << "asking for the package stands in the history";

  bench_.write("archive/catalog.csv", "tampered");
  EXPECT_NE(bench_.expect(3, {"restore", "@/archive", "--ledger", "@/third.ledger"})
                .err.find("@/archive/catalog.csv: the file is not as it was when the package was made"),
            std::string::npos);
}

TEST_F(Safety, placements_of_the_same_name_do_not_take_each_others_place_in_a_package) {
  for (const char* day : {"monday", "tuesday"}) std::filesystem::create_directory(bench_.path(day));
  bench_.write("monday/bag.json", "{}");
  bench_.write("tuesday/bag.json", "[]");
  const ToolRun refused = bench_.expect(2, {"backup", "--archive", "@/archive", "--placements", "@/monday/bag.json",
                                            "--placements", "@/tuesday/bag.json"});
  EXPECT_NE(refused.err.find("two placements files are called bag.json"), std::string::npos) << refused.err;
  for (const std::string& name : bench_.files()) EXPECT_FALSE(name.starts_with("archive")) << name;
}

TEST_F(Safety, a_package_may_be_one_zip_file_that_others_unpack_and_that_becomes_a_ledger_again) {
  const ToolRun made = bench_.expect(0, {"backup", "--archive", "@/archive", "--with-restricted", "--zip"});
  EXPECT_NE(made.out.find("@/archive.zip: an archive package"), std::string::npos) << made.out;
  EXPECT_FALSE(bench_.files().contains("archive/README.txt"));
  // libarchive, which cmake brings along, unpacks it, and sha256sum finds every file as it was.
  const auto judged = run({"sh", "-c",
                           "mkdir \"$0/judged\" && cd \"$0/judged\" && cmake -E tar xf ../archive.zip && cd archive && "
                           "sha256sum -c SHA256SUMS && test -s collection.ledger",
                           bench_.path("").string()});
  EXPECT_EQ(judged.exit_code, 0) << judged.out << judged.err;
  bench_.expect(4, {"backup", "--archive", "@/archive", "--zip"});
  bench_.expect(0, {"restore", "@/archive.zip", "--ledger", "@/again.ledger"});
  EXPECT_FALSE(bench_.files().contains("again.ledger.unpacked/archive/README.txt"));

  const std::string whole = bench_.read("archive.zip");
  for (const std::size_t at : {whole.size() / 3, whole.size() / 2, whole.size() - 10}) {
    bench_.write("cut.zip", whole.substr(0, at));
    EXPECT_NE(bench_.expect(3, {"restore", "@/cut.zip", "--ledger", "@/third.ledger"}).err.find("@/cut.zip"),
              std::string::npos);
  }
  // The same file with a name that leads outside: as long as the honest one, so that nothing else changes.
  std::string hostile = whole;
  for (std::size_t name = hostile.find("archive/README.txt"); name != std::string::npos;
       name = hostile.find("archive/README.txt", name))
    hostile.replace(name, 18, "../../../README.tx");
  bench_.write("hostile.zip", hostile);
  EXPECT_NE(bench_.expect(3, {"restore", "@/hostile.zip", "--ledger", "@/third.ledger"}).err.find("no name of a file"),
            std::string::npos);
  EXPECT_FALSE(bench_.files().contains("third.ledger"));
}

TEST_F(Safety, what_a_backup_that_was_cut_off_left_is_removed_by_the_next_and_said) {
  fs::create_directories(bench_.path("stick"));
  const auto left = [&](const std::string& target, bool folder, std::chrono::hours ago) {
    const std::string name = fs::relative(unfinished_name(bench_.path("stick/" + target)), bench_.path("")).string();
    if (folder) fs::create_directories(bench_.path(name));
    bench_.write(folder ? name + "/README.txt" : name, "half");
    fs::last_write_time(bench_.path(name), fs::file_time_type::clock::now() - ago);
    return "@/" + name + ": left by a command that was cut off, and now removed.\n";
  };
  using std::chrono::hours;
  const std::string same = left("today.ledger", false, hours{0});
  bench_.write("stick/today.ledger.sherdmark-unfinished-journal", "half");
  const std::string yesterday = left("yesterday.ledger", false, hours{24});
  (void)left("beside.ledger", false, hours{0});  // somebody else may be making it
  EXPECT_EQ(bench_.expect(0, {"backup", "--out", "@/stick/today.ledger"}).err, same + yesterday);
  const std::set<std::string> files = bench_.files();
  EXPECT_TRUE(files.contains("stick/beside.ledger.sherdmark-unfinished"));
  EXPECT_FALSE(files.contains("stick/today.ledger.sherdmark-unfinished-journal"));

  const std::string folder = left("package", true, hours{0});
  EXPECT_EQ(bench_.expect(0, {"backup", "--archive", "@/stick/package"}).err, folder);
  const std::string staged = left("one", true, hours{0});
  const std::string zip = left("one.zip", false, hours{0});
  EXPECT_EQ(bench_.expect(0, {"backup", "--archive", "@/stick/one", "--zip", "--with-restricted"}).err, staged + zip);
  EXPECT_FALSE(fs::exists(bench_.path("stick/one")));

  const std::string half = left("again.ledger", false, hours{0});
  const std::string unpacked = left("again.ledger.unpacked", true, hours{0});
  EXPECT_EQ(bench_.expect(0, {"restore", "@/stick/one.zip", "--ledger", "@/stick/again.ledger"}).err, half + unpacked);
  bench_.expect(0, {"verify-ledger", "--ledger", "@/stick/again.ledger"});
}

TEST_F(Safety, a_package_to_hand_on_holds_no_history_and_says_that_it_cannot_be_restored) {
  bench_.expect(0, {"backup", "--archive", "@/public"});
  for (const std::string& name : bench_.files()) {
    EXPECT_FALSE(name.starts_with("public/records/")) << name;
    EXPECT_NE(name, "public/collection.ledger");
    EXPECT_NE(name, "public/events.jsonl");
  }
  EXPECT_NE(bench_.read("public/README.txt").find("left out on purpose"), std::string::npos);
  EXPECT_NE(bench_.expect(3, {"restore", "@/public", "--ledger", "@/x.ledger"}).err.find("holds no ledger"),
            std::string::npos);
  EXPECT_NE(bench_.expect(4, {"backup", "--archive", "@/public"}).err.find("already there"), std::string::npos);
}

TEST_F(Safety, a_sum_file_that_points_outside_the_package_is_refused) {
  bench_.write("archive/x", "");
  fs::create_directories(bench_.path("evil"));
  bench_.write("evil/SHA256SUMS", std::string(64, '0') + "  ../collection.ledger\n");
  EXPECT_NE(bench_.expect(3, {"restore", "@/evil", "--ledger", "@/x.ledger"}).err.find("names no file of the package"),
            std::string::npos);
}

TEST_F(Safety, a_package_that_was_made_to_fill_the_disk_is_refused_and_nothing_stays_of_it) {
  fs::create_directories(bench_.path("full"));
  bench_.write("full/SHA256SUMS", "");
  fs::resize_file(bench_.path("full/SHA256SUMS"), std::uintmax_t{90} << 20U);
  pack_zip(bench_.path("full"), "full", bench_.path("full.zip"));
  const std::set<std::string> before = bench_.files();
  const ToolRun refused = bench_.expect(3, {"restore", "@/full.zip", "--ledger", "@/new.ledger"});
  EXPECT_NE(refused.err.find("it holds more than 200 times its size"), std::string::npos) << refused.err;
  EXPECT_EQ(bench_.files(), before);
}

TEST_F(Safety, a_folder_that_is_called_as_the_unpacked_package_would_be_is_left_alone) {
  bench_.expect(0, {"backup", "--archive", "@/package", "--zip", "--with-restricted"});
  std::filesystem::create_directory(bench_.path("again.ledger.unpacked"));
  bench_.write("again.ledger.unpacked/notes.txt", "precious");
  bench_.expect(0, {"restore", "@/package.zip", "--ledger", "@/again.ledger"});
  EXPECT_EQ(bench_.read("again.ledger.unpacked/notes.txt"), "precious");
}

TEST_F(Safety, nothing_is_ever_written_over_a_ledger) {
  bench_.write("bad.csv", "Find number,Name,Material,Pieces\r\n2031-115-1,bowl,ceramic,0\r\n");
  const std::string bag =
      nlohmann::json::parse(bench_.expect(0, {"show", "2031-114-66", "--json"}).out)["item"]["bags"][0];
  const std::string picture = (source_dir() / "docs/pictures/marked-agree.jpg").string();
  bench_.expect(0, {"backup", "--out", "@/copy.ledger"});
  for (const char* ledger : {"@/collection.ledger", "@/copy.ledger"})
    for (const std::vector<std::string>& line : {std::vector<std::string>{"export", "catalog", "--out", ledger},
                                                 std::vector<std::string>{"intake", "@/bad.csv", "--set-aside", ledger},
                                                 std::vector<std::string>{"bench", "list", bag, "--out", ledger},
                                                 std::vector<std::string>{"check", picture, "--save", ledger}}) {
      const ToolRun refused = bench_.run(line);
      EXPECT_EQ(refused.code, 4) << ::testing::PrintToString(line) << refused.out << refused.err;
      EXPECT_NE(refused.err.find("nothing else is ever written over one. Name another file."), std::string::npos)
          << refused.err;
    }
  bench_.expect(0, {"verify-ledger"});
  bench_.expect(0, {"verify-ledger", "--ledger", "@/copy.ledger"});
}

TEST_F(Safety, rows_that_are_wrong_are_not_set_aside_over_their_catalog) {
  const std::string rows =
      "Find number,Name,Material,Pieces\r\n2031-115-1,bowl,ceramic,0\r\n2031-115-2,jar,ceramic,1\r\n";
  bench_.write("rows.csv", rows);
  const ToolRun refused = bench_.expect(2, {"intake", "@/rows.csv", "--set-aside", "@/./rows.csv"});
  EXPECT_NE(refused.err.find("over the catalog @/rows.csv. Name a new file for them."), std::string::npos)
      << refused.err;
  EXPECT_EQ(bench_.read("rows.csv"), rows);
  bench_.expect(1, {"show", "2031-115-2"});
}

TEST_F(Safety, what_was_asked_for_wrongly_is_explained) {
  EXPECT_EQ(bench_.expect(2, {"backup"}).err,
            "sherdmark: no backup was asked for. Say --out FILE for a copy, --archive DIR for a package, or both.\n");
  EXPECT_EQ(bench_.expect(2, {"backup", "--out", "@/c", "--with-restricted"}).err,
            "sherdmark: --with-restricted and --placements go with --archive only. Say --archive DIR.\n");
}

}  // namespace
}  // namespace sherdmark::testing
