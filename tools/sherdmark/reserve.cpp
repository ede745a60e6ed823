#include <fmt/format.h>

#include <memory>

#include "commands.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/report/field_report.h"

namespace sherdmark {
namespace {

struct Options : CommonOptions {
  std::string act = "list";
  std::string numbers;
  std::string crew;
  std::string from;
  std::string reason;
  int count = 0;
};

void allow_only(const Options& options, bool crew, bool numbers, bool reason) {
  const auto refuse = [&](bool given, bool allowed, std::string_view what) {
    if (given && !allowed)
      throw usage_error(fmt::format("{} does not go with \"reserve {}\".", what, options.act), "Leave it out.");
  };
  refuse(!options.crew.empty(), crew, "--crew");
  refuse(!options.numbers.empty(), numbers, "A list of numbers");
  refuse(!options.reason.empty(), reason, "--reason");
  refuse(options.count > 0 || !options.from.empty(), options.act == "block", "--count or --from");
}

std::vector<std::string> make_block(Ledger& ledger, const Actor& actor, const Options& options) {
  allow_only(options, true, false, false);
  if (trim(options.crew).empty())
    throw usage_error("nobody was named for the block.", "Say who gets it: --crew \"North trench\".");
  const FieldNumbering& numbering = ledger.standard().field_numbers;
  std::optional<std::int64_t> first;
  if (!options.from.empty()) first = numbering.running(parse_field_numbers(numbering, options.from).front());
  const int count = options.count > 0 ? options.count : numbering.block;
  std::vector<std::string> numbers = free_field_numbers(ledger, count, first);
  ledger.reserve_field_numbers(actor, std::string{trim(options.crew)}, numbers);
  return numbers;
}

std::vector<std::string> change(Ledger& ledger, const Actor& actor, const Options& options) {
  const bool issue = options.act == "issue";
  allow_only(options, false, true, !issue);
  if (options.numbers.empty()) throw usage_error("no field numbers were named.", "Write them like 101-125,130.");
  std::vector<std::string> numbers = parse_field_numbers(ledger.standard().field_numbers, options.numbers);
  if (issue) {
    ledger.issue_field_numbers(actor, numbers);
    return numbers;
  }
  if (trim(options.reason).empty())
    throw usage_error(fmt::format("why these numbers are {} was not said.", options.act), "Add --reason TEXT.");
  ledger.retire_field_numbers(actor, numbers, parse_field_state(options.act).value(), options.reason);
  return numbers;
}

std::vector<FieldBlock> blocks_of(const Ledger& ledger, const std::string& crew) {
  std::vector<FieldBlock> blocks = field_blocks(ledger);
  if (!crew.empty()) std::erase_if(blocks, [&](const FieldBlock& block) { return block.crew != crew; });
  return blocks;
}

int act(const Session& session, const Options& options) {
  FieldNumbersReport report;
  if (options.act == "list") {
    allow_only(options, true, false, false);
    report.blocks = blocks_of(session.open_for_reading(options), options.crew);
    report.crew = options.crew;
  } else {
    Ledger ledger = session.open_for_writing(options);
    const Actor actor = ledger.actor(session.person(options));
    report.changed = options.act == "block" ? make_block(ledger, actor, options) : change(ledger, actor, options);
    report.act = options.act == "block" ? "reserved" : options.act == "issue" ? "issued" : options.act;
    report.blocks = blocks_of(ledger, options.crew);
  }
  session.say(options.json ? field_numbers_json(report) : field_numbers_text(report));
  return 0;
}

}  // namespace

Subcommand reserve_command(const Session& session) {
  return {"reserve",
          "Field numbers before anything is found: makes a block for a crew, hands numbers out, takes them out of use; "
          "none is ever used twice.",
          [&session](Command& command) {
            auto options = std::make_shared<Options>();
            command.one_of("act", options->act, {"list", "block", "issue", "spoiled", "lost", "returned"},
                           "What to do; without a word, the blocks and their states are listed");
            command.text("numbers", options->numbers, "Field numbers, like 101-125,130", "NUMBERS");
            command.text("--crew", options->crew, "Who gets the block, or whose blocks to list", "NAME");
            command.number("--count", options->count, 1, 10'000,
                           "How many numbers the block has (default: as the house standard says)", "N");
            command.text("--from", options->from, "First number of the block (default: behind the last ever used)",
                         "NUMBER");
            command.text("--reason", options->reason, "Why numbers are spoiled, lost or returned", "TEXT");
            add_ledger_option(command, *options);
            add_by_option(command, *options);
            add_json_option(command, *options);
            command.example(
                "sherdmark reserve block --crew \"North trench\" --count 25 --by \"R. Quill\"\n"
                "sherdmark reserve issue 101-125 --by \"R. Quill\"\n"
                "sherdmark reserve spoiled 107 --reason \"tag torn\" --by \"R. Quill\"\n"
                "sherdmark reserve");
            command.act([&session, options] { return act(session, *options); });
          }};
}

}  // namespace sherdmark
