// The one error type of the library. Callable from every layer.
//
// A broken input, a missing font or a full disk throws `Error`; a domain outcome (an unreadable label, an
// unknown number) never does: those are values. The text always says what is wrong, where, and what to do.
#pragma once

#include <cstddef>
#include <exception>
#include <optional>
#include <string>
#include <string_view>

namespace sherdmark {

// Who must act. The values are the process exit codes and are frozen (docs/formats/exit-codes.md).
enum class ErrorFamily {
  usage = 2,        // the person who typed the command
  data = 3,         // the person who owns the input file
  environment = 4,  // whoever keeps the machine: file, font, printer description, disk, lock
  internal = 70     // us: a bug
};

// Where in an input something is wrong. Rows, columns and pages count from 1; offset is in bytes from 0.
struct ErrorPlace {
  std::string file;
  std::optional<std::size_t> row{};
  std::optional<std::size_t> column{};
  std::optional<std::size_t> offset{};
  std::optional<std::size_t> page{};
};

class Error : public std::exception {
 public:
  // `problem`: one sentence, what is wrong. `remedy`: one sentence, what to do about it.
  // Neither may hold a value of a restricted column.
  Error(ErrorFamily family, std::string problem, ErrorPlace place, std::string remedy);

  [[nodiscard]] const char* what() const noexcept override { return text_.c_str(); }  // whole text, one line
  [[nodiscard]] ErrorFamily family() const noexcept { return family_; }
  [[nodiscard]] const std::string& problem() const noexcept { return problem_; }
  [[nodiscard]] const ErrorPlace& place() const noexcept { return place_; }
  [[nodiscard]] const std::string& remedy() const noexcept { return remedy_; }
  [[nodiscard]] int exit_code() const noexcept { return static_cast<int>(family_); }

 private:
  ErrorFamily family_;
  std::string problem_;
  ErrorPlace place_;
  std::string remedy_;
  std::string text_;
};

[[nodiscard]] Error usage_error(std::string problem, std::string remedy);
[[nodiscard]] Error data_error(std::string problem, ErrorPlace place, std::string remedy);
[[nodiscard]] Error environment_error(std::string problem, ErrorPlace place, std::string remedy);
[[nodiscard]] Error internal_error(std::string problem);

// "file.csv, row 3, column 2" as it appears in error texts; empty for an empty place.
[[nodiscard]] std::string describe(const ErrorPlace& place);

}  // namespace sherdmark
