// Files put into place so that a power cut cannot take them away again.
#pragma once

#include <filesystem>

namespace sherdmark {

// Makes the names in the folder of `file` durable. A folder that cannot be opened, or is of a kind that cannot be
// synced, is no error; one whose sync fails throws environment_error.
void sync_folder_of(const std::filesystem::path& file);
// Makes what was written to the file durable. Throws environment_error.
void sync_file(const std::filesystem::path& file);
// Renames a finished file to a name that nobody has. Never replaces one: environment_error if it appeared meanwhile.
// Where the folder cannot be synced in the end, the file has its name all the same.
void put_into_place(const std::filesystem::path& made, const std::filesystem::path& file);

}  // namespace sherdmark
