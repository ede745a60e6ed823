#include "architecture/source_rules.h"

#include <algorithm>
#include <fstream>
#include <iterator>
#include <map>
#include <regex>
#include <set>
#include <stdexcept>

#include "architecture/standard_headers.h"

namespace sherdmark::architecture {
namespace {

namespace fs = std::filesystem;

struct Include {
  std::string name;
  bool angled = false;
  int line = 0;
};

constexpr std::string_view k_public = "lib/include/";

std::vector<Include> includes_of(const SourceFile& file) {
  std::vector<Include> found;
  int line = 1;
  for (std::size_t start = 0; start < file.text.size(); ++line) {
    const std::size_t end = std::min(file.text.find('\n', start), file.text.size());
    std::string_view text = std::string_view{file.text}.substr(start, end - start);
    start = end + 1;
    const auto skip_blanks = [&text] { text.remove_prefix(std::min(text.find_first_not_of(" \t"), text.size())); };
    skip_blanks();
    if (!text.starts_with('#')) continue;
    text.remove_prefix(1);
    skip_blanks();
    if (!text.starts_with("include")) continue;
    text.remove_prefix(7);
    skip_blanks();
    if (text.empty() || (text[0] != '<' && text[0] != '"')) continue;
    const bool angled = text[0] == '<';
    const std::size_t close = text.find(angled ? '>' : '"', 1);
    if (close == std::string_view::npos) continue;
    found.push_back({std::string{text.substr(1, close - 1)}, angled, line});
  }
  return found;
}

// Where a quoted include leads inside the tree; empty when it leads out of it.
std::string resolve(const SourceFile& from, const Include& include, const std::set<std::string>& paths) {
  const std::string beside = (fs::path{from.path}.parent_path() / include.name).lexically_normal().generic_string();
  for (const std::string& candidate :
       {beside, std::string{k_public} + include.name, "lib/" + include.name, "tools/" + include.name})
    if (paths.contains(candidate)) return candidate;
  return {};
}

std::string at(const SourceFile& file, int line) { return file.path + ":" + std::to_string(line) + ": "; }

std::set<std::string> paths_of(const std::vector<SourceFile>& files) {
  std::set<std::string> paths;
  for (const SourceFile& file : files) paths.insert(file.path);
  return paths;
}

int rank(const std::string& layer) {
  const auto& order = layer_order();
  const auto found = std::find(order.begin(), order.end(), layer);
  return found == order.end() ? -1 : static_cast<int>(found - order.begin());
}

const ThirdParty* library_of(const std::string& header) {
  for (const ThirdParty& library : third_parties())
    for (const std::string& prefix : library.header_prefixes)
      if (header.starts_with(prefix)) return &library;
  return nullptr;
}

using Libraries = std::map<std::string, const ThirdParty*>;  // header's name → library

// What each file sees of third parties, through private headers too.
class Sight {
 public:
  explicit Sight(const std::vector<SourceFile>& files) : paths_(paths_of(files)) {
    for (const SourceFile& file : files) by_path_[file.path] = &file;
  }

  const Libraries& of(const std::string& path) {
    const auto [entry, fresh] = seen_.try_emplace(path);
    if (!fresh) return entry->second;  // also ends cycles
    const SourceFile& file = *by_path_.at(path);
    Libraries all;
    for (const Include& include : includes_of(file)) {
      const std::string inside = include.angled ? std::string{} : resolve(file, include, paths_);
      if (!inside.empty()) {
        const Libraries below = of(inside);
        all.insert(below.begin(), below.end());
      } else if (const ThirdParty* library = library_of(include.name)) {
        all.emplace(include.name, library);
      }
    }
    return seen_[path] = all;
  }

 private:
  std::set<std::string> paths_;
  std::map<std::string, const SourceFile*> by_path_;
  std::map<std::string, Libraries> seen_;
};

void unknown_headers(const SourceFile& file, const std::set<std::string>& paths, std::vector<std::string>& complaints) {
  for (const Include& include : includes_of(file)) {
    if (include.name.starts_with("fmt/") || library_of(include.name) != nullptr) continue;
    if (include.angled ? is_standard_header(include.name) : !resolve(file, include, paths).empty()) continue;
    complaints.push_back(at(file, include.line) + "\"" + include.name +
                         "\" is no file of ours, no standard header, and not in tests/architecture/third_parties.cpp");
  }
}

}  // namespace

const std::vector<std::string>& layer_order() {
  static const std::vector<std::string> order{"base", "standard", "catalog", "code",  "type",   "sheet",
                                              "scan", "ledger",   "verify",  "count", "report", "tools"};
  return order;
}

std::string layer_of(std::string_view path) {
  if (path.starts_with("tools/")) return "tools";
  for (const std::string_view root : {std::string_view{"lib/include/sherdmark/"}, std::string_view{"lib/"}}) {
    if (!path.starts_with(root)) continue;
    const std::size_t slash = path.find('/', root.size());
    return slash == std::string_view::npos ? std::string{} : std::string{path.substr(root.size(), slash - root.size())};
  }
  return {};
}

std::vector<SourceFile> read_tree(const fs::path& root) {
  std::vector<SourceFile> files;
  for (const char* top : {"lib", "tools"}) {
    if (!fs::is_directory(root / top)) throw std::runtime_error("no folder " + (root / top).string());
    for (const fs::directory_entry& entry : fs::recursive_directory_iterator{root / top}) {
      const fs::path& path = entry.path();
      if (!entry.is_regular_file() || (path.extension() != ".h" && path.extension() != ".cpp")) continue;
      std::ifstream in{path, std::ios::binary};
      files.push_back({fs::relative(path, root).generic_string(),
                       {std::istreambuf_iterator<char>{in}, std::istreambuf_iterator<char>{}}});
    }
  }
  std::sort(files.begin(), files.end(), [](const auto& a, const auto& b) { return a.path < b.path; });
  return files;
}

std::vector<SourceFile> read_tests(const fs::path& root) {
  std::vector<SourceFile> files;
  for (const fs::directory_entry& entry : fs::recursive_directory_iterator{root / "tests"}) {
    const std::string name = entry.path().filename().string();
    const std::string path = fs::relative(entry.path(), root).generic_string();
    if (name.ends_with("_test.cpp")) files.push_back({path, {}});
    if (name != "CMakeLists.txt") continue;
    std::ifstream in{entry.path(), std::ios::binary};
    files.push_back({path, {std::istreambuf_iterator<char>{in}, std::istreambuf_iterator<char>{}}});
  }
  std::sort(files.begin(), files.end(), [](const auto& a, const auto& b) { return a.path < b.path; });
  return files;
}

std::vector<std::string> arrows_up(const std::vector<SourceFile>& files) {
  const std::set<std::string> paths = paths_of(files);
  std::vector<std::string> complaints;
  for (const SourceFile& file : files) {
    const std::string from = layer_of(file.path);
    if (rank(from) < 0) {
      complaints.push_back(file.path + ": lies in no layer of the list");
      continue;
    }
    for (const Include& include : includes_of(file)) {
      const std::string target = include.angled ? std::string{} : resolve(file, include, paths);
      if (target.empty()) continue;
      const std::string to = layer_of(target);
      if (rank(to) > rank(from))
        complaints.push_back(at(file, include.line) + from + " includes " + target + ", an arrow up to " + to);
      if (to != from && !target.starts_with(k_public))
        complaints.push_back(at(file, include.line) + target + " is private to " + to);
    }
  }
  return complaints;
}

std::vector<std::string> third_party_leaks(const std::vector<SourceFile>& files) {
  const std::set<std::string> paths = paths_of(files);
  Sight sight{files};
  std::vector<std::string> complaints;
  std::map<std::pair<std::string, std::string>, std::set<std::string>> adapters;  // layer, library → .cpp files
  for (const SourceFile& file : files) {
    const std::string layer = layer_of(file.path);
    unknown_headers(file, paths, complaints);
    for (const auto& [header, library] : sight.of(file.path)) {
      if (file.path.starts_with(k_public))
        complaints.push_back(file.path + ": a public header shows " + header + " of " + library->name);
      if (std::find(library->layers.begin(), library->layers.end(), layer) == library->layers.end())
        complaints.push_back(file.path + ": " + header + " of " + library->name + " does not belong to layer " + layer);
      if (file.path.ends_with(".cpp")) adapters[{layer, library->name}].insert(file.path);
    }
  }
  for (const auto& [key, sources] : adapters) {
    if (static_cast<int>(sources.size()) <= k_most_adapters) continue;
    std::string list;
    for (const std::string& source : sources) list += (list.empty() ? "" : ", ") + source;
    complaints.push_back("layer " + key.first + " sees " + key.second + " from " + std::to_string(sources.size()) +
                         " files, " + std::to_string(k_most_adapters) + " at most: " + list);
  }
  return complaints;
}

std::vector<std::string> too_long(const std::vector<SourceFile>& files) {
  std::vector<std::string> complaints;
  for (const SourceFile& file : files) {
    const auto lines = std::count(file.text.begin(), file.text.end(), '\n');
    if (lines > k_most_lines)
      complaints.push_back(file.path + ": " + std::to_string(lines) + " lines, " + std::to_string(k_most_lines) +
                           " at most; split it by responsibility");
  }
  return complaints;
}

std::vector<std::string> threads_by_hand(const std::vector<SourceFile>& files) {
  std::vector<std::string> complaints;
  for (const SourceFile& file : files) {
    if (file.path == "lib/base/parallel.cpp") continue;
    for (const std::string_view start : {"std::thread", "std::jthread", "std::async", "pthread_create"})
      if (file.text.find(start) != std::string::npos)
        complaints.push_back(file.path + ": begins a thread with " + std::string{start} +
                             "; use Beside or for_each_index of sherdmark/base/parallel.h");
  }
  return complaints;
}

std::vector<std::string> tests_not_built(const std::vector<SourceFile>& files) {
  std::vector<std::string> complaints;
  for (const SourceFile& file : files) {
    const fs::path path{file.path};
    if (!file.path.ends_with("_test.cpp")) continue;
    const std::string list = (path.parent_path() / "CMakeLists.txt").generic_string();
    const auto names = std::find_if(files.begin(), files.end(), [&](const auto& one) { return one.path == list; });
    const std::regex word{"(^|[\\s(])" + std::regex_replace(path.filename().string(), std::regex{"\\."}, "\\.") +
                          "([\\s)]|$)"};
    if (names == files.end() || !std::regex_search(names->text, word))
      complaints.push_back(file.path + ": " + list + " does not name it, so it is never run");
  }
  return complaints;
}

}  // namespace sherdmark::architecture
