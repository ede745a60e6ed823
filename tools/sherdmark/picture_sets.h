// From the image files a person names to sets of readings; for every command that judges pictures.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "kept_pictures.h"
#include "session.h"
#include "sherdmark/base/parallel.h"
#include "sherdmark/ledger/reviews.h"
#include "sherdmark/scan/image.h"
#include "sherdmark/verify/judge.h"

namespace sherdmark {

struct UnreadPicture;  // report/check_report.h

struct DecodedPicture {
  std::vector<ImagePage> pages;
  std::string sha256;  // of the file, when asked for
};

// The picture of a command that was given a single one: read and decoded on a thread of its own, beside what the
// command does before its turn comes. Whatever is wrong with it is said in its turn.
class EarlyPicture {
 public:
  EarlyPicture(const Session& session, const std::vector<std::string>& images, bool with_hash);
  ~EarlyPicture() = default;  // waits for the thread
  EarlyPicture(const EarlyPicture&) = delete;
  EarlyPicture& operator=(const EarlyPicture&) = delete;
  EarlyPicture(EarlyPicture&&) = delete;
  EarlyPicture& operator=(EarlyPicture&&) = delete;

  // It, once; empty when it is not this file. Throws what reading and decoding threw.
  [[nodiscard]] std::optional<DecodedPicture> take(const std::string& file);

 private:
  std::string file_;
  std::optional<Beside<DecodedPicture>> picture_;
};

// Every page of an image is a set, or all pictures between two divider cards; or every folder with `folder_is_set`.
// Images are read in parallel, with a progress bar. An image that cannot be read is said on standard error and raises
// `code`; its set is left out: what is on it is not known. After Ctrl-C no further image is read; what was read is
// given, and it is said how much that is. With `hashes` what each file was is put there; with `grades` the print
// quality of each of our labels is estimated as well and put there. `early`: the picture, if it was read before, with
// its hash if hashes are asked for. `unread`: the images that were not read are listed there.
[[nodiscard]] std::vector<ReadingSet> read_picture_sets(const Session& session, const HouseStandard& standard,
                                                        const std::vector<std::string>& images, bool folder_is_set,
                                                        int& code, PictureHashes* hashes = nullptr,
                                                        std::vector<SeenGrade>* grades = nullptr,
                                                        EarlyPicture* early = nullptr,
                                                        std::vector<UnreadPicture>* unread = nullptr);

}  // namespace sherdmark
