#include "pictures.h"

#include <fmt/format.h>

#include <algorithm>
#include <fstream>
#include <map>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

namespace fs = std::filesystem;

struct Found {
  std::vector<std::string> files;
  std::size_t left_out = 0;
  std::vector<std::string> linked;  // folders that are links to others
};

bool is_digit(char c) { return c >= '0' && c <= '9'; }

// -1, 0 or 1; figures by their value: "9" stands before "10".
int compare_counting(std::string_view a, std::string_view b) {
  const auto take_number = [](std::string_view& text) {
    std::size_t length = 0;
    while (length < text.size() && is_digit(text[length])) ++length;
    std::string_view number = text.substr(0, length);
    text.remove_prefix(length);
    number.remove_prefix(std::min(number.find_first_not_of('0'), number.size()));
    return number;
  };
  while (!a.empty() && !b.empty()) {
    if (is_digit(a.front()) && is_digit(b.front())) {
      const std::string_view x = take_number(a), y = take_number(b);
      if (x.size() != y.size()) return x.size() < y.size() ? -1 : 1;
      if (const int order = x.compare(y); order != 0) return order < 0 ? -1 : 1;
      continue;
    }
    if (a.front() != b.front())
      return static_cast<unsigned char>(a.front()) < static_cast<unsigned char>(b.front()) ? -1 : 1;
    a.remove_prefix(1);
    b.remove_prefix(1);
  }
  return a.empty() ? (b.empty() ? 0 : -1) : 1;
}

// As cameras and scanners count them, folder by folder: what lies between two divider cards goes by this order. "Scan"
// stands before "Scan (2)".
bool taken_before(const std::string& a, const std::string& b) {
  const fs::path first{a}, second{b};
  if (first.parent_path() != second.parent_path()) {
    const std::string from = first.parent_path().string(), to = second.parent_path().string();
    const int order = compare_counting(from, to);
    return order != 0 ? order < 0 : from < to;
  }
  const int order = compare_counting(first.stem().string(), second.stem().string());
  return order != 0 ? order < 0 : a < b;
}

Found files_in(const fs::path& folder) {
  Found found;
  std::error_code problem;
  for (fs::recursive_directory_iterator entry{folder, problem}, end; !problem && entry != end;
       entry.increment(problem)) {
    std::error_code none;  // a link to nothing, a pipe: whoever reads it will say what it is
    if (entry->is_directory(none)) {
      if (entry->is_symlink(none)) found.linked.push_back(entry->path().string());
      continue;
    }
    if (named_like_a_picture(entry->path())) {
      found.files.push_back(entry->path().string());
    } else {
      ++found.left_out;
    }
  }
  if (problem)
    throw environment_error(fmt::format("the folder could not be looked through: {}.", problem.message()),
                            {.file = folder.string()}, "Check that you may read it.");
  std::sort(found.files.begin(), found.files.end(), taken_before);
  std::sort(found.linked.begin(), found.linked.end());
  return found;
}

}  // namespace

bool named_like_a_picture(const fs::path& file) {
  if (file.filename().string().starts_with('.')) return false;  // a copying program's file in the making
  const std::string ending = to_lower_ascii(file.extension().string());
  for (const char* known : {".jpg", ".jpeg", ".jpe", ".jfif", ".png", ".tif", ".tiff", ".webp", ".heic", ".heif",
                            ".hif", ".avif", ".bmp", ".gif", ".pdf"})
    if (ending == known) return true;
  return false;
}

bool ends_as_a_picture(const fs::path& file) {
  constexpr std::streamoff k_tail = 65'536;  // cameras put things of their own behind a JPEG's end
  const std::string ending = to_lower_ascii(file.extension().string());
  const bool jpeg = ending == ".jpg" || ending == ".jpeg" || ending == ".jpe" || ending == ".jfif";
  if (!jpeg && ending != ".png") return true;
  std::ifstream in{file, std::ios::binary | std::ios::ate};
  if (!in) return true;  // whoever reads it will say what is wrong
  const std::streamoff size = in.tellg();
  const std::streamoff take = std::min(size, k_tail);
  std::string tail(static_cast<std::size_t>(take), '\0');
  in.seekg(size - take);
  in.read(tail.data(), take);
  return tail.find(jpeg ? std::string_view{"\xFF\xD9"} : std::string_view{"IEND"}) != std::string::npos;
}

std::vector<PictureSet> find_pictures(const Session& session, const std::vector<std::string>& named,
                                      bool folder_is_set) {
  std::vector<std::string> singles;
  std::map<std::string, std::vector<std::string>> folders;
  std::vector<PictureSet> sets;
  for (const std::string& name : named) {
    std::error_code ignored;
    if (!fs::is_directory(name, ignored)) {
      singles.push_back(name);
      if (!folder_is_set) sets.push_back({name, {name}});
      continue;
    }
    const Found found = files_in(name);
    for (const std::string& folder : found.linked)
      session.warn(fmt::format("{}: this folder is a link to another, and was not looked through. Name that one, too.",
                               printable(folder)));
    if (found.left_out > 0)
      session.warn(fmt::format("{}: {} file{} not looked at, because the name is not that of an image.",
                               printable(name), found.left_out, found.left_out == 1 ? "" : "s"));
    for (const std::string& file : found.files) {
      if (folder_is_set) {
        folders[fs::path{file}.parent_path().string()].push_back(file);
      } else {
        sets.push_back({file, {file}});
      }
    }
  }
  if (folder_is_set) {
    if (!singles.empty()) sets.push_back({singles.front(), singles});
    for (auto& [folder, files] : folders) sets.push_back({folder, std::move(files)});
  }
  if (sets.empty())
    throw usage_error(fmt::format("there is no image in {}.", printable(join(named, ", "))),
                      "Name images, or a folder of them.");
  return sets;
}

}  // namespace sherdmark
