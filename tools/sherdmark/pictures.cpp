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
};

Found files_in(const fs::path& folder) {
  Found found;
  std::error_code problem;
  for (fs::recursive_directory_iterator entry{folder, problem}, end; !problem && entry != end;
       entry.increment(problem)) {
    std::error_code none;  // a link to nothing, a pipe: whoever reads it will say what it is
    if (entry->is_directory(none)) continue;
    if (named_like_a_picture(entry->path())) {
      found.files.push_back(entry->path().string());
    } else {
      ++found.left_out;
    }
  }
  if (problem)
    throw environment_error(fmt::format("the folder could not be looked through: {}.", problem.message()),
                            {.file = folder.string()}, "Check that you may read it.");
  std::sort(found.files.begin(), found.files.end());
  return found;
}

}  // namespace

bool named_like_a_picture(const fs::path& file) {
  if (file.filename().string().starts_with('.')) return false;  // a copying program's file in the making
  const std::string ending = to_lower_ascii(file.extension().string());
  for (const char* known :
       {".jpg", ".jpeg", ".png", ".tif", ".tiff", ".webp", ".heic", ".heif", ".avif", ".bmp", ".gif", ".pdf"})
    if (ending == known) return true;
  return false;
}

bool ends_as_a_picture(const fs::path& file) {
  constexpr std::streamoff k_tail = 65'536;  // cameras put things of their own behind a JPEG's end
  const std::string ending = to_lower_ascii(file.extension().string());
  const bool jpeg = ending == ".jpg" || ending == ".jpeg";
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
