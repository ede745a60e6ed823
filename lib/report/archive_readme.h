// What the README of an archive package says, and the format pages that go with it.
#pragma once

#include <span>
#include <string>
#include <string_view>

#include "sherdmark/report/archive.h"

namespace sherdmark {

[[nodiscard]] std::string archive_readme(const Ledger& ledger, const ArchiveRequest& request);

struct FormatPage {
  std::string_view name;  // "ledger.md"
  std::string_view text;
};
[[nodiscard]] std::span<const FormatPage> format_pages();  // docs/formats, as they were when the program was built

}  // namespace sherdmark
