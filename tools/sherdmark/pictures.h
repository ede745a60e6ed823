// From what a person names (images, folders) to the image files of each set.
#pragma once

#include <string>
#include <vector>

#include "session.h"

namespace sherdmark {

struct PictureSet {
  std::string name;                // the image, or the folder
  std::vector<std::string> files;  // those of a folder by name, figures by their value
};

// Which files of a folder are looked at; what they really are is told by their content.
[[nodiscard]] bool named_like_a_picture(const std::filesystem::path& file);

// Whether a JPEG or PNG has its format's end; a copy in the middle has none. Other formats: true.
[[nodiscard]] bool ends_as_a_picture(const std::filesystem::path& file);

// A file stands for itself. A folder stands for the images in it, folders within included; other files are counted
// aloud and left out, and folders that are links are named. With `folder_is_set` every folder that holds images is one set, and the single files together
// are one; otherwise every image is a set. environment_error for what is not there, usage_error when there is no image.
[[nodiscard]] std::vector<PictureSet> find_pictures(const Session& session, const std::vector<std::string>& named,
                                                    bool folder_is_set);

}  // namespace sherdmark
