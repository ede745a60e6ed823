// One run of the tool: the seams, the options that several commands share, and what every command does the same way.
#pragma once

#include <chrono>
#include <filesystem>
#include <functional>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "command.h"
#include "run.h"
#include "sherdmark/ledger/ledger.h"

namespace sherdmark {

struct ReportHead;  // sherdmark/report/report_pages.h

inline constexpr std::size_t k_image_file_limit_bytes = std::size_t{1} << 30U;

struct CommonOptions {
  std::string ledger;  // empty: SHERDMARK_LEDGER, or collection.ledger here
  std::string by;      // empty: SHERDMARK_BY
  bool json = false;
  bool take_over = false;  // write although another computer left its mark
};

class Session {
 public:
  Session(const Seams& seams, const Environment& environment) : seams_(seams), environment_(environment) {}

  [[nodiscard]] const Seams& seams() const { return seams_; }
  [[nodiscard]] const Environment& environment() const { return environment_; }

  [[nodiscard]] std::filesystem::path ledger_file(const CommonOptions& options) const;
  [[nodiscard]] std::string person(const CommonOptions& options) const;  // usage_error when nobody is named
  // The person if one is named, else empty: for commands that write only when asked to.
  [[nodiscard]] std::string person_if_named(const CommonOptions& options) const;

  // The ledger's notices go to standard error.
  [[nodiscard]] Ledger open_for_writing(const CommonOptions& options) const;
  [[nodiscard]] Ledger open_for_reading(const CommonOptions& options) const;

  // Head of a report page of this ledger, made here and now, by the person if one is named.
  [[nodiscard]] ReportHead page_head(const Ledger& ledger, const CommonOptions& options, std::string title,
                                     std::string scope) const;
  // The same for the head of a sheet of labels.
  [[nodiscard]] std::vector<std::string> sheet_made(const Ledger& ledger, const CommonOptions& options) const;

  void say(std::string_view text) const;   // a result, to standard output
  void warn(std::string_view text) const;  // one line to standard error; any thread may call it

  void show_progress(std::string_view text) const;  // to standard error, no line end; any thread may call it

  // Throws environment_error where write_file could not write: for asking before an act of which the file is to tell.
  void require_target(const std::filesystem::path& file) const;
  // Writes whole or not at all, and never over a ledger; says on standard error when a file was there before.
  void write_file(const std::filesystem::path& file, const std::function<void(const ByteSink&)>& produce) const;
  void write_file(const std::filesystem::path& file, std::string_view text) const;

 private:
  const Seams& seams_;
  const Environment& environment_;
  mutable std::mutex err_mutex_;
};

// What a bar says: how far it is, and once something is done, how fast that goes and how long the rest will take.
[[nodiscard]] std::string progress_line(std::string_view what, std::size_t done, std::size_t total, double elapsed_s);

// A bar on standard error while work of a known size goes on; silent unless that is a terminal. Any thread may step.
class Progress {
 public:
  Progress(const Session& session, std::string what, std::size_t total);
  ~Progress();
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;
  Progress(Progress&&) = delete;
  Progress& operator=(Progress&&) = delete;
  void step();
  void advance_to(std::size_t done);

 private:
  void draw() const;
  const Session& session_;
  std::string what_;
  std::size_t total_;
  std::size_t done_ = 0;
  std::chrono::steady_clock::time_point start_ = std::chrono::steady_clock::now();
  std::mutex mutex_;
};

// "1-3,5" → 1 2 3 5. usage_error for anything else; empty text is an empty list.
[[nodiscard]] std::vector<int> parse_pages(std::string_view text);

// Options that commands share; `by` only where the command writes.
void add_ledger_option(Command& command, CommonOptions& options);
void add_by_option(Command& command, CommonOptions& options);
void add_json_option(Command& command, CommonOptions& options);

}  // namespace sherdmark
