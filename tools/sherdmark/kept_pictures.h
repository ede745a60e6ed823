// The pictures a kept verdict rests on, held fast: a person who keys a crop later must see what was checked.
#pragma once

#include <filesystem>
#include <map>
#include <span>
#include <string>
#include <vector>

#include "session.h"
#include "sherdmark/verify/judge.h"

namespace sherdmark {

// Image as it was named → SHA-256 of the file as it was read.
using PictureHashes = std::map<std::string, std::string>;

// The verdicts as the ledger keeps them, with their pictures: where they lie seen from the ledger, and their hashes.
[[nodiscard]] std::vector<CheckRecord> records_with_pictures(std::span<const SetVerdict> verdicts,
                                                             const PictureHashes& hashes,
                                                             const std::filesystem::path& ledger_file);

// The bytes of the picture that the record's readings call `image`: where it lay, seen from the ledger, or as it was
// named. data_error when it is another by now or the record does not say which it was, environment_error when it is
// gone.
[[nodiscard]] Bytes read_kept_picture(const Session& session, const CheckRecord& check, const std::string& image,
                                      const std::filesystem::path& ledger_file);

}  // namespace sherdmark
