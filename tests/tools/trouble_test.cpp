// What goes wrong on a working day: bad rows, files that are not there, disks that are full, and our own bugs.
#include <gtest/gtest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <filesystem>
#include <nlohmann/json.hpp>
#include <stdexcept>

#include "sherdmark/base/error.h"
#include "tools/bench.h"

namespace sherdmark::testing {
namespace {

constexpr const char* k_bad_rows =
    "Find number,Name,Material,Pieces\r\n"
    "2031-114-1,bowl,ceramic,1\r\n"
    "2031-114-2,jar,ceramic,0\r\n"
    "seven,pin,bone,1\r\n";

class Trouble : public ::testing::Test {
 protected:
  void init() { bench_.expect(0, {"init", "--standard", sample("standards/ostervane.toml").string()}); }
  Bench bench_;
};

TEST_F(Trouble, one_bad_row_keeps_the_whole_batch_out_and_every_problem_is_listed) {
  init();
  bench_.write("bad.csv", k_bad_rows);
  const ToolRun result = bench_.expect(3, {"intake", "@/bad.csv"});
  EXPECT_NE(result.out.find("@/bad.csv, row 3, column \"Pieces\": \"0\": "), std::string::npos) << result.out;
  EXPECT_NE(result.out.find("@/bad.csv, row 4, column \"Find number\": \"seven\": "), std::string::npos) << result.out;
  EXPECT_EQ(result.err,
            "sherdmark: @/bad.csv: 2 rows are wrong, so nothing was taken in. Correct them and try again, or take the "
            "good ones with --set-aside FILE.\n");
  bench_.expect(1, {"show", "2031-114-1"});
}

TEST_F(Trouble, set_aside_takes_the_good_rows_and_the_corrected_rest_comes_in_later) {
  init();
  bench_.write("bad.csv", k_bad_rows);
  bench_.expect(1, {"intake", "@/bad.csv", "--set-aside", "@/aside.csv"});
  bench_.expect(0, {"show", "2031-114-1"});
  std::string aside = bench_.read("aside.csv");
  EXPECT_NE(aside.find("2031-114-2"), std::string::npos);
  EXPECT_EQ(aside.find("2031-114-1,"), std::string::npos);
  const auto correct = [&aside](const std::string& wrong, const std::string& right) {
    const std::size_t at = aside.find(wrong);
    ASSERT_NE(at, std::string::npos) << aside;
    aside.replace(at, wrong.size(), right);
  };
  correct("jar,ceramic,0", "jar,ceramic,2");
  correct("seven", "2031-114-7");
  bench_.write("aside.csv", aside);
  bench_.expect(0, {"intake", "@/aside.csv"});
  bench_.expect(0, {"show", "2031-114-7"});
}

TEST_F(Trouble, a_missing_file_or_ledger_is_named) {
  EXPECT_EQ(
      bench_.expect(4, {"init", "--standard", "@/none.toml"}).err,
      "sherdmark: @/none.toml: could not open the file: No such file or directory. Check the spelling of the name "
      "and the folder.\n");
  const ToolRun result = bench_.expect(4, {"plan"});
  EXPECT_EQ(result.err,
            "sherdmark: @/collection.ledger: there is no such ledger. Go to the folder where it lies, or name it with "
            "--ledger FILE; make a new one (sherdmark init) only for a new collection.\n");
}

TEST_F(Trouble, a_pipe_that_nobody_writes_to_is_named_and_nobody_waits_for_it) {
  init();
  ASSERT_EQ(::mkfifo(bench_.path("pipe.jpg").c_str(), 0600), 0);
  ::alarm(120);  // whoever waits for ever is ended, and has failed
  const std::string no_picture = "@/pipe.jpg: this is a pipe, not a file. Check that it is the file you meant.";
  for (const char* command : {"read", "grade"}) {
    const ToolRun result = bench_.expect(4, {command, "@/pipe.jpg"});
    EXPECT_NE((result.out + result.err).find(no_picture), std::string::npos) << result.out << result.err;
  }
  EXPECT_NE(bench_.expect(4, {"check", "@/pipe.jpg"}).err.find(no_picture), std::string::npos);
  EXPECT_EQ(bench_.expect(4, {"intake", "@/pipe.jpg"}).err,
            "sherdmark: @/pipe.jpg: this is a pipe with nothing in it, and nobody writes to it. Check that it is the "
            "file you meant.\n");
  ::alarm(0);
}

TEST_F(Trouble, what_is_named_like_a_picture_and_is_none_is_named_wherever_it_lies) {
  init();
  std::filesystem::create_directories(bench_.path("photos/folder.jpg"));
  ASSERT_EQ(::mkfifo(bench_.path("photos/pipe.jpg").c_str(), 0600), 0);
  std::filesystem::create_symlink("nowhere", bench_.path("photos/link.jpg"));
  ::alarm(120);
  for (const char* command : {"read", "check"}) {
    const ToolRun result = bench_.expect(4, {command, "@/photos"});
    const std::string said = result.out + result.err;
    EXPECT_NE(said.find("@/photos/pipe.jpg: this is a pipe, not a file."), std::string::npos) << said;
    EXPECT_NE(said.find("@/photos/link.jpg: could not open the file: No such file"), std::string::npos) << said;
    EXPECT_EQ(said.find("folder.jpg"), std::string::npos) << said;
  }
  ::alarm(0);
}

TEST_F(Trouble, a_linked_folder_among_pictures_is_not_left_out_in_silence) {
  init();
  std::filesystem::create_directories(bench_.path("elsewhere"));
  std::filesystem::create_directories(bench_.path("photos"));
  std::filesystem::create_directory_symlink("../elsewhere", bench_.path("photos/more"));
  bench_.write("photos/1.jpg", "no picture");
  EXPECT_NE(bench_.expect(3, {"check", "@/photos"})
                .err.find("@/photos/more: this folder is a link to another, and was not looked through."),
            std::string::npos);
}

TEST_F(Trouble, a_file_that_is_no_ledger_is_left_alone) {
  bench_.write("collection.ledger", "just some text");
  const ToolRun result = bench_.run({"plan"});
  EXPECT_TRUE(result.code == 3 || result.code == 4) << result.code << result.err;
  EXPECT_NE(result.err.find("@/collection.ledger"), std::string::npos) << result.err;
  EXPECT_EQ(bench_.read("collection.ledger"), "just some text");
}

TEST_F(Trouble, a_broken_standard_says_line_and_column_and_leaves_no_ledger) {
  bench_.write("standard.toml", "[standard]\nname = \"x\"\nversoin = \"1\"\n");
  const ToolRun result = bench_.expect(3, {"init", "--standard", "@/standard.toml"});
  EXPECT_NE(result.err.find("@/standard.toml, row 3, column 1: "), std::string::npos) << result.err;
  EXPECT_EQ(bench_.files(), std::set<std::string>{"standard.toml"});
}

TEST_F(Trouble, somebody_who_is_not_in_the_register_cannot_write) {
  init();
  const ToolRun result = bench_.expect(2, {"plan", "--by", "A. Stranger"});
  EXPECT_NE(result.err.find("A. Stranger"), std::string::npos) << result.err;
}

TEST_F(Trouble, a_run_that_does_not_exist_is_a_usage_error) {
  init();
  EXPECT_EQ(bench_.expect(2, {"printed", "R99"}).err,
            "sherdmark: there is no run R99. The run stands at the head of every page it printed.\n");
  bench_.expect(2, {"labels", "--reprint", "R99", "--out", "@/sheets"});
}

struct RoleRow {
  std::vector<std::string> arguments;
  std::string err;
};

TEST_F(Trouble, labels_asked_for_wrongly_are_explained) {
  init();
  const std::vector<RoleRow> rows{
      {{"labels", "--out", "@/s"},
       "sherdmark: no labels were asked for. Say --for artifacts, bags, tags, boxes, shelves, field-tags, "
       "removal-slips, dividers or action-cards.\n"},
      {{"labels", "--for", "crates", "--out", "@/s"},
       "sherdmark: there are no labels for \"crates\". Say --for artifacts, bags, tags, boxes, shelves, field-tags, "
       "removal-slips, dividers or action-cards.\n"},
      {{"labels", "--for", "bags", "--pages", "1", "--out", "@/s"},
       "sherdmark: --pages goes with --reprint only. Say which run: --reprint RUN.\n"},
  };
  for (const RoleRow& row : rows) EXPECT_EQ(bench_.expect(2, row.arguments).err, row.err);
}

TEST_F(Trouble, pages_are_a_list_of_numbers) {
  start_collection(bench_, small_samples().front());
  bench_.expect(0, {"plan"});
  const auto run = nlohmann::json::parse(bench_.expect(0, {"labels", "--for", "bags", "--out", "@/s", "--json"}).out);
  const std::string id = run["run"];
  for (const std::string pages : {"x", "0", "3-1", "1-2-3", "1,,2", "-1", "99999999999"})
    EXPECT_EQ(bench_.expect(2, {"printed", id, "--pages", pages}).err,
              "sherdmark: \"" + pages + "\" is no list of pages. Write it like 1-3,5.\n");
  // Of a variable that was never set: it must not stand for every page.
  for (const std::string blank : {"", "  "}) {
    EXPECT_EQ(bench_.expect(2, {"printed", id, "--pages", blank}).err,
              "sherdmark printed: --pages: nothing stands behind it; leave the option out or say what it is. "
              "See: sherdmark printed --help\n");
  }
  const auto shown = nlohmann::json::parse(bench_.expect(0, {"show", id, "--json"}).out);
  EXPECT_EQ(shown["run"]["confirmed"], 0);
  EXPECT_EQ(bench_.expect(0, {"printed", id, "--pages", " 1 "}).code, 0);
}

TEST_F(Trouble, a_file_that_is_replaced_is_said) {
  start_collection(bench_, small_samples().front());
  EXPECT_EQ(bench_.expect(0, {"export", "--out", "@/copy.csv"}).err, "@/copy.csv: written.\n");
  EXPECT_EQ(bench_.expect(0, {"export", "--out", "@/copy.csv"}).err,
            "@/copy.csv: the file that was there has been replaced.\n@/copy.csv: written.\n");
}

// A file system on which every write fails, in one of two ways.
class FailingFiles final : public FileSystem {
 public:
  explicit FailingFiles(bool our_bug) : our_bug_(our_bug) {}
  Bytes read(const std::filesystem::path& file, std::size_t limit_bytes) override {
    return real_file_system().read(file, limit_bytes);
  }
  void write_atomic(const std::filesystem::path& file, const std::function<void(const ByteSink&)>&) override {
    if (our_bug_) throw std::logic_error("index 7 of 5");
    throw environment_error("could not write the file: No space left on device.", {.file = file.string()},
                            "The disk is full: free some space and run the same command again.");
  }

 private:
  bool our_bug_;
};

TEST_F(Trouble, labels_that_could_not_be_written_can_be_made_again) {
  start_collection(bench_, small_samples().front());
  bench_.expect(0, {"plan"});
  FailingFiles full{false};
  bench_.use_files(full);
  const ToolRun failed = bench_.expect(4, {"labels", "--for", "bags", "--out", "@/sheets"});
  EXPECT_NE(failed.err.find("The disk is full: free some space and run the same command again."), std::string::npos);
  bench_.use_files(real_file_system());
  const ToolRun again = bench_.expect(0, {"labels", "--for", "bags", "--out", "@/sheets"});
  EXPECT_NE(again.out.find("4 labels on 1 page"), std::string::npos) << again.out;
}

TEST_F(Trouble, what_we_did_not_foresee_is_our_bug_and_says_so) {
  start_collection(bench_, small_samples().front());
  FailingFiles broken{true};
  bench_.use_files(broken);
  const ToolRun result = bench_.expect(70, {"export", "--out", "@/copy.csv"});
  EXPECT_EQ(result.err,
            "sherdmark: something we did not foresee: index 7 of 5. This is a bug in sherdmark; please report it with "
            "what you did.\n");
}

TEST(Standard, a_standard_with_many_faults_names_each_on_a_line_of_its_own) {
  Bench bench;
  bench.write("empty.toml", "");
  const ToolRun result = bench.expect(3, {"init", "--standard", "@/empty.toml"});
  EXPECT_GT(std::ranges::count(result.err, '\n'), 10) << result.err;
  EXPECT_EQ(result.err.find("\\u{000A}"), std::string::npos) << result.err;
}

TEST(Register, a_second_person_writes_once_somebody_entered_them) {
  Bench bench;
  start_collection(bench, small_samples().front());
  EXPECT_NE(bench.expect(2, {"plan", "--by", "M. Oduya"}).err.find("sherdmark register"), std::string::npos);
  EXPECT_NE(bench.expect(0, {"register", "M. Oduya"}).out.find("M. Oduya\n"), std::string::npos);
  EXPECT_NE(bench.expect(2, {"register", "M. Oduya"}).err.find("already"), std::string::npos);
  (void)bench.expect(0, {"plan", "--by", "M. Oduya"});
}

TEST(Standard, a_new_edition_is_adopted_when_it_still_reads_every_number) {
  Bench bench;
  const Sample& of = small_samples().front();
  start_collection(bench, of);
  const std::string source = bench.expect(0, {"standard", "--source"}).out;
  EXPECT_EQ(source, read_text(real_file_system(), sample(of.standard)));
  bench.write("new.toml", "# edition of the autumn\n" + source);
  EXPECT_NE(bench.expect(0, {"standard", "--adopt", "@/new.toml"}).err.find("sherdmark plan"), std::string::npos);
  EXPECT_EQ(bench.expect(0, {"standard", "--source"}).out, "# edition of the autumn\n" + source);

  const Sample& other = small_samples().back();
  const ToolRun refused = bench.expect(3, {"standard", "--adopt", sample(other.standard).string()});
  EXPECT_NE(refused.err.find("does not read"), std::string::npos) << refused.err;
}

// Isolated finds have no lots of their own: their accession stands for one, and no scheme reads its name.
TEST(Standard, a_new_edition_is_adopted_also_where_finds_have_no_lot) {
  Bench bench;
  const std::filesystem::path standard = sample("standards/quillow_ferry.toml");
  bench.expect(0, {"init", "--standard", standard.string()});
  bench.expect(0, {"intake", sample("quillow_ferry/catalog.csv").string()});
  bench.write("new.toml", "# edition of the autumn\n" + read_text(real_file_system(), standard));
  bench.expect(0, {"standard", "--adopt", "@/new.toml"});
  EXPECT_NE(bench.expect(3, {"standard", "--adopt", sample(small_samples().front().standard).string()})
                .err.find("does not read"),
            std::string::npos);
}

}  // namespace
}  // namespace sherdmark::testing
