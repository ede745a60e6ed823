// What `read` found: every code in the images, ours or foreign. Text for people, JSON for programs.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "sherdmark/scan/codes.h"

namespace sherdmark {

struct ReadCode {
  CodeReading code;
  bool ours = false;  // whole and valid, of a version this program knows
};

// One page of one image file; `error` says why it could not be read at all.
struct ReadResult {
  std::string image;
  int page = 1;
  std::vector<ReadCode> codes;
  std::optional<std::string> error;
};

// Marks which of the codes are ours.
[[nodiscard]] ReadResult make_read_result(std::string image, int page, std::vector<CodeReading> codes);

[[nodiscard]] std::string read_json(std::span<const ReadResult> results);
[[nodiscard]] std::string read_report_text(std::span<const ReadResult> results);

}  // namespace sherdmark
