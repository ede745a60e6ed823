#include "tools/bench.h"

#include <gtest/gtest.h>

#include <fstream>
#include <iterator>
#include <sstream>

namespace sherdmark::testing {
namespace {

namespace fs = std::filesystem;

std::string replaced(std::string text, const std::string& what, const std::string& with) {
  for (std::size_t at = 0; (at = text.find(what, at)) != std::string::npos; at += with.size())
    text.replace(at, what.size(), with);
  return text;
}

}  // namespace

Bench::Bench() : clock_(parse_time("2031-05-04T13:45:10Z")), random_(20310504), files_(&real_file_system()) {
  environment_.machine = "bench";
  environment_.workers = 2;
  set("SHERDMARK_LEDGER", path("collection.ledger").string());
  set("SHERDMARK_BY", "R. Quill");
}

ToolRun Bench::run(const std::vector<std::string>& arguments) {
  std::vector<std::string> real;
  for (const std::string& argument : arguments) real.push_back(replaced(argument, "@", scratch_.path().string()));
  std::istringstream in{typed_};
  std::ostringstream out;
  std::ostringstream err;
  const int code = run_sherdmark(real, {in, out, err, clock_, random_, *files_}, environment_);
  return {code, replaced(out.str(), scratch_.path().string(), "@"), replaced(err.str(), scratch_.path().string(), "@")};
}

ToolRun Bench::expect(int code, const std::vector<std::string>& arguments) {
  ToolRun result = run(arguments);
  EXPECT_EQ(result.code, code) << ::testing::PrintToString(arguments) << "\nout: " << result.out
                               << "\nerr: " << result.err;
  return result;
}

void Bench::write(const std::string& name, const std::string& text) const {
  std::ofstream{path(name), std::ios::binary} << text;
}

std::string Bench::read(const std::string& name) const {
  std::ifstream in{path(name), std::ios::binary};
  EXPECT_TRUE(in) << name << " is not there";
  return {std::istreambuf_iterator<char>{in}, std::istreambuf_iterator<char>{}};
}

std::set<std::string> Bench::files() const {
  std::set<std::string> found;
  for (const fs::directory_entry& entry : fs::recursive_directory_iterator{scratch_.path()})
    if (entry.is_regular_file()) found.insert(fs::relative(entry.path(), scratch_.path()).generic_string());
  return found;
}

void PrintTo(const Sample& sample, std::ostream* out) { *out << sample.name; }

const std::vector<Sample>& small_samples() {
  static const std::vector<Sample> samples{
      {"ostervane", "standards/ostervane.toml",
       "Find number,Kind,Name,Material,Condition,Pieces,Largest mm,Trench,Spit,Remarks\r\n"
       "2031-114-66,artifact,bowl,ceramic,sound,1,82,4,2,\r\n"
       "2031-114-67,bulk,body sherds,ceramic,sound,60,41,4,2,from the north wall\r\n"
       "2031-114-68,artifact,nail,iron,corroding,1,55,4,3,\r\n"
       "2031-114-69,assembly,jar,ceramic,sound,3,140,4,3,\r\n",
       "2031-114-66", "2031-114-67", "2031-114-68"},
      {"quillow_ferry", "standards/quillow_ferry.toml",
       "Cat. No.,Acc #,Type,Description,Material,Surface/Condition,Qty,Max Dim (mm),Unit,Level,Bag(s)\r\n"
       "16ZQ5/12.66,2031.4,artifact,bowl,ceramic,sound,1,82,N10E20,2,B1\r\n"
       "16ZQ5/12.67,2031.4,bulk,body sherds,ceramic,sound,60,41,N10E20,2,B2\r\n"
       "16ZQ5/12.68,2031.4,artifact,nail,iron,corroding,1,55,N10E20,2,B3\r\n"
       "16ZQ5/12.69,2031.4,assembly,jar,ceramic,sound,3,140,N10E20,2,B4\r\n",
       "16ZQ5/12.66", "16ZQ5/12.67", "16ZQ5/12.68"}};
  return samples;
}

void start_collection(Bench& bench, const Sample& sample) {
  bench.write("catalog.csv", sample.catalog);
  bench.expect(0, {"init", "--standard", testing::sample(sample.standard).string()});
  bench.expect(0, {"intake", "@/catalog.csv"});
}

}  // namespace sherdmark::testing
