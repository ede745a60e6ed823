#include "session.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <ostream>

#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/ledger/ledger_file.h"
#include "sherdmark/ledger/stations.h"
#include "sherdmark/report/report_pages.h"

namespace sherdmark {
namespace {

constexpr int k_bar_width = 30;
constexpr int k_most_pages = 100'000;

std::string variable(const Environment& environment, const std::string& name) {
  const auto found = environment.variables.find(name);
  return found == environment.variables.end() ? std::string{} : found->second;
}

void refuse_ledger(const std::filesystem::path& file) {
  if (looks_like_a_ledger(file))
    throw environment_error("this is a ledger, and nothing else is ever written over one", {.file = file.string()},
                            "name another file");
}

}  // namespace

std::filesystem::path Session::ledger_file(const CommonOptions& options) const {
  if (!options.ledger.empty()) return options.ledger;
  const std::string set = variable(environment_, "SHERDMARK_LEDGER");
  return set.empty() ? "collection.ledger" : set;
}

std::string Session::person_if_named(const CommonOptions& options) const {
  return options.by.empty() ? variable(environment_, "SHERDMARK_BY") : options.by;
}

std::string Session::person(const CommonOptions& options) const {
  std::string name = person_if_named(options);
  if (trim(name).empty())
    throw usage_error("nobody was named, and the ledger keeps who does what.",
                      "Say who you are with --by \"YOUR NAME\", or once for this window with export "
                      "SHERDMARK_BY=\"YOUR NAME\".");
  return name;
}

Ledger Session::open_for_writing(const CommonOptions& options) const {
  Ledger ledger = Ledger::open(ledger_file(options), {person(options), environment_.machine, options.take_over},
                               seams_.clock, seams_.random);
  for (const std::string& notice : ledger.notices()) warn(notice);
  return ledger;
}

Ledger Session::open_for_reading(const CommonOptions& options) const {
  Ledger ledger = Ledger::open_read_only(ledger_file(options));
  for (const std::string& notice : ledger.notices()) warn(notice);
  return ledger;
}

ReportHead Session::page_head(const Ledger& ledger, const CommonOptions& options, std::string title,
                              std::string scope) const {
  return report_head(ledger, std::move(title), std::move(scope), format_time(seams_.clock.now()),
                     person_if_named(options), known_station(ledger, environment_.machine));
}

std::vector<std::string> Session::sheet_made(const Ledger& ledger, const CommonOptions& options) const {
  return sherdmark::sheet_made(ledger, person_if_named(options), known_station(ledger, environment_.machine));
}

void Session::say(std::string_view text) const { seams_.out << text; }

void Session::warn(std::string_view text) const {
  const std::lock_guard lock{err_mutex_};
  seams_.err << text << '\n';
}

void Session::show_progress(std::string_view text) const {
  const std::lock_guard lock{err_mutex_};
  seams_.err << text << std::flush;
}

void Session::require_target(const std::filesystem::path& file) const {
  refuse_ledger(file);
  require_writable(file);
}

void Session::write_file(const std::filesystem::path& file, const std::function<void(const ByteSink&)>& produce) const {
  refuse_ledger(file);
  std::error_code ignored;
  const bool was_there = std::filesystem::exists(file, ignored);
  seams_.files.write_atomic(file, produce);
  if (was_there) warn(fmt::format("{}: the file that was there has been replaced.", printable(file.string())));
}

void Session::write_file(const std::filesystem::path& file, std::string_view text) const {
  write_file(file, [text](const ByteSink& sink) { sink(as_byte_span(text)); });
}

Progress::Progress(const Session& session, std::string what, std::size_t total)
    : session_(session), what_(std::move(what)), total_(total) {
  draw();
}

Progress::~Progress() {
  if (session_.environment().err_is_terminal && total_ > 1) session_.show_progress("\r\x1B[K");
}

void Progress::step() {
  const std::lock_guard lock{mutex_};
  ++done_;
  draw();
}

void Progress::advance_to(std::size_t done) {
  const std::lock_guard lock{mutex_};
  done_ = std::min(done, total_);
  draw();
}

void Progress::draw() const {
  if (!session_.environment().err_is_terminal || total_ <= 1) return;
  const std::chrono::duration<double> elapsed = std::chrono::steady_clock::now() - start_;
  session_.show_progress("\r" + progress_line(what_, done_, total_, elapsed.count()) + "\x1B[K");
}

std::string progress_line(std::string_view what, std::size_t done, std::size_t total, double elapsed_s) {
  const std::size_t filled = total == 0 ? 0 : static_cast<std::size_t>(k_bar_width) * done / total;
  std::string line = fmt::format("{} [{}{}] {}/{}", what, std::string(filled, '='),
                                 std::string(k_bar_width - filled, ' '), done, total);
  if (done == 0 || elapsed_s <= 0) return line;
  const double rate = static_cast<double>(done) / elapsed_s;
  const auto left_s = std::lround(static_cast<double>(total - done) / rate);
  line += fmt::format("  {:.{}f}/s", rate, rate < 10 ? 1 : 0);
  if (done < total)
    line +=
        left_s < 60 ? fmt::format(", {} s left", left_s) : fmt::format(", {}:{:02} min left", left_s / 60, left_s % 60);
  return line;
}

std::vector<int> parse_pages(std::string_view text) {
  std::vector<int> pages;
  if (trim(text).empty()) return pages;
  for (const std::string& piece : split(text, ',')) {
    const std::vector<std::string> ends = split(trim(piece), '-');
    const auto first = parse_integer(trim(ends.front()));
    const auto last = parse_integer(trim(ends.back()));
    if (ends.size() > 2 || !first || !last || *first < 1 || *last < *first || *last > k_most_pages)
      throw usage_error(fmt::format("\"{}\" is no list of pages.", printable(text)), "Write it like 1-3,5.");
    for (std::int64_t page = *first; page <= *last; ++page) pages.push_back(static_cast<int>(page));
  }
  return pages;
}

void add_ledger_option(Command& command, CommonOptions& options) {
  command.text("--ledger", options.ledger,
               "The ledger (default: the variable SHERDMARK_LEDGER, else collection.ledger in this folder)", "FILE");
}

void add_by_option(Command& command, CommonOptions& options) {
  command.text("--by", options.by, "Who you are, as the ledger keeps it (default: the variable SHERDMARK_BY)", "NAME");
  command.flag("--take-over", options.take_over,
               "Write although another computer left its mark on the ledger: it surely is not running any more");
}

void add_json_option(Command& command, CommonOptions& options) {
  command.flag("--json", options.json, "Write JSON instead of text");
}

}  // namespace sherdmark
