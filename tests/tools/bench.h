// A workbench for end-to-end tests: the tool in-process, in a folder of its own, with fixed time and randomness.
// In arguments "@" stands for that folder; in what came out the folder is written "@" again.
#pragma once

#include <iosfwd>
#include <set>
#include <string>
#include <vector>

#include "run.h"
#include "support/test_support.h"

namespace sherdmark::testing {

struct ToolRun {
  int code = -1;
  std::string out;
  std::string err;
};

class Bench {
 public:
  Bench();

  [[nodiscard]] ToolRun run(const std::vector<std::string>& arguments);
  // Must end with `code`; otherwise the test fails and shows everything.
  ToolRun expect(int code, const std::vector<std::string>& arguments);

  void write(const std::string& name, const std::string& text) const;
  [[nodiscard]] std::string read(const std::string& name) const;
  [[nodiscard]] std::filesystem::path path(const std::string& name) const { return scratch_ / name; }
  [[nodiscard]] std::set<std::string> files() const;  // relative, all below the folder

  // A person sits at a terminal and types this.
  void answer(const std::string& typed) {
    typed_ = typed;
    environment_.in_is_terminal = true;
  }
  void use_files(FileSystem& files) { files_ = &files; }
  void set(const std::string& variable, const std::string& value) { environment_.variables[variable] = value; }
  [[nodiscard]] FixedClock& clock() { return clock_; }

 private:
  ScratchFolder scratch_;
  FixedClock clock_;
  SeededRandom random_;
  FileSystem* files_;
  Environment environment_;
  std::string typed_;
};

// A standard and a small catalog that fits it, for tests that go all the way through.
struct Sample {
  std::string name;
  std::string standard;  // below samples/
  std::string catalog;   // CSV text
  std::string first_item;
  std::string bulk_item;   // labelled as a sample of its count
  std::string metal_item;  // tag only
};
void PrintTo(const Sample& sample, std::ostream* out);
[[nodiscard]] const std::vector<Sample>& small_samples();

// A ledger with the sample taken in; fails the test when that does not work.
void start_collection(Bench& bench, const Sample& sample);

}  // namespace sherdmark::testing
