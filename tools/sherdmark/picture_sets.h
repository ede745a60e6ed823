// From the image files a person names to sets of readings; for every command that judges pictures.
#pragma once

#include <string>
#include <vector>

#include "session.h"
#include "sherdmark/ledger/reviews.h"
#include "sherdmark/verify/judge.h"

namespace sherdmark {

// Every page of an image is a set, or all pictures between two divider cards; or every folder with `folder_is_set`.
// Images are read in parallel, with a progress bar. An image that cannot be read is said on standard error and raises
// `code`; its set is left out: what is on it is not known. After Ctrl-C no further image is read; what was read is
// given, and it is said how much that is. With `grades` the print quality of each of our labels is estimated as well
// and put there.
[[nodiscard]] std::vector<ReadingSet> read_picture_sets(const Session& session, const HouseStandard& standard,
                                                        const std::vector<std::string>& images, bool folder_is_set,
                                                        int& code, std::vector<SeenGrade>* grades = nullptr);

}  // namespace sherdmark
