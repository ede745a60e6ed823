#include "run.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <ostream>

#include "commands.h"
#include "daily_jobs.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"

#ifndef SHERDMARK_VERSION
#define SHERDMARK_VERSION "0"
#endif

namespace sherdmark {

CommandLine whole_command_line(const Session& session) {
  return {
      "sherdmark",
      "sherdmark " SHERDMARK_VERSION,
      "Keeps an artifact, its tag and its bag tied together: prints their labels, and proves from photographs that\n"
      "they still agree.",
      "Exit codes: 0 fine, 1 findings, 2 usage, 3 bad input, 4 environment, 70 our own bug.\n"
      "Each command explains itself: sherdmark labels --help",
      {init_command(session),          intake_command(session),    reserve_command(session),
       bind_command(session),          revise_command(session),    spares_command(session),
       plan_command(session),          labels_command(session),    printed_command(session),
       type_command(session),          calibrate_command(session), soak_test_command(session),
       bench_command(session),         scan_command(session),      move_command(session),
       loan_command(session),          split_command(session),     combine_command(session),
       recount_command(session),       renumber_command(session),  void_command(session),
       restrict_command(session),      assembly_command(session),  concordance_command(session),
       read_command(session),          grade_command(session),     check_command(session),
       review_command(session),        override_command(session),  show_command(session),
       history_command(session),       inventory_command(session), audit_command(session),
       box_list_command(session),      export_command(session),    backup_command(session),
       verify_ledger_command(session), restore_command(session),   describe_command(session),
       register_command(session),      standard_command(session)}};
}

namespace {

// A name with spaces that was typed without quotation marks comes as several words: the file that all of them together
// name, when the first alone, `file`, names none. Empty otherwise.
std::string unquoted_file(const std::vector<std::string>& words, const std::string& file) {
  std::error_code ignored;
  const auto first = std::ranges::find(words, file);
  if (file.empty() || first == words.end() || std::filesystem::exists(file, ignored)) return {};
  std::string joined = file;
  for (auto next = first + 1; next != words.end(); ++next)
    if (joined += " " + *next; std::filesystem::exists(joined, ignored)) return joined;
  return {};
}

// What a person did wrong or the machine refused, told on one line; never thrown on.
int say_what_went_wrong(const std::vector<std::string>& words, const Seams& seams) {
  try {
    throw;
  } catch (const Error& error) {
    const std::string meant = unquoted_file(words, error.place().file);
    seams.err << "sherdmark: " << printable_lines(error.what())
              << (meant.empty() ? ""
                                : fmt::format(" Did you mean \"{}\"? A name with spaces stands in quotation marks.",
                                              printable(meant)))
              << '\n';
    return error.exit_code();
  } catch (const std::bad_alloc&) {
    seams.err << "sherdmark: there is not enough memory for this. Close other programs, or give it less at once.\n";
    return static_cast<int>(ErrorFamily::environment);
  } catch (const std::filesystem::filesystem_error& error) {
    seams.err << "sherdmark: " << printable(error.path1().string()) << ": " << error.code().message()
              << ". Check the name, and that you may read and write there.\n";
    return static_cast<int>(ErrorFamily::environment);
  } catch (const std::exception& error) {
    seams.err << "sherdmark: something we did not foresee: " << printable(error.what())
              << ". This is a bug in sherdmark; please report it with what you did.\n";
    return static_cast<int>(ErrorFamily::internal);
  }
}

int parse_and_act(const std::vector<std::string>& arguments, const Seams& seams, const Environment& environment) {
  const Session session{seams, environment};
  const CommandLine line = whole_command_line(session);
  const auto run = [&](const std::vector<std::string>& words) {
    const ParsedCommandLine parsed = parse_command_line(line, words);
    seams.out << parsed.out;
    seams.err << parsed.err;
    return parsed.act ? parsed.act() : parsed.code;
  };
  const auto run_safely = [&](const std::vector<std::string>& words) {
    try {
      return run(words);
    } catch (const std::exception&) {
      return say_what_went_wrong(words, seams);
    }
  };
  const bool may_ask = arguments.empty() && environment.in_is_terminal;
  const int code = may_ask ? offer_daily_jobs(session, line, run_safely) : run(arguments);
  seams.out.flush();
  if (!seams.out)
    throw environment_error("the results could not be written to standard output.", {},
                            "Check that the disk is not full and that the program they go to is still there.");
  return code;
}

}  // namespace

int run_sherdmark(const std::vector<std::string>& arguments, const Seams& seams, const Environment& environment) {
  try {
    return parse_and_act(arguments, seams, environment);
  } catch (const std::exception&) {
    return say_what_went_wrong(arguments, seams);
  }
}

}  // namespace sherdmark
