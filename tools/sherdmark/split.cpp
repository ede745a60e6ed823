#include <fmt/format.h>

#include <memory>

#include "commands.h"
#include "custody.h"

namespace sherdmark {
namespace {

struct SplitOptions : CommonOptions {
  std::string bag;
  std::string item;
  int quantity = 0;
  std::string reason;
};

int split_bag(const Session& session, const SplitOptions& options) {
  return do_custody(
      session, options, [&](const Ledger& ledger) { return with_contents(ledger, bag_named(ledger, options.bag)); },
      [&](Ledger& ledger, const Actor& actor) {
        const std::string bag = bag_named(ledger, options.bag);
        const std::string item = item_named(ledger, options.item);
        const std::string made = ledger.split(actor, bag, item, options.quantity, options.reason);
        return CustodyOutcome{fmt::format("{} pieces of {} went from bag {} into the new bag {}.", options.quantity,
                                          item, group_identity(bag), group_identity(made)),
                              {{"bag", bag}, {"into", made}, {"item", item}},
                              {"Plan again before labels are made: both bags need new ones."}};
      });
}

struct CombineOptions : CommonOptions {
  std::string from;
  std::string into;
  std::string reason;
};

int combine_bags(const Session& session, const CombineOptions& options) {
  return do_custody(
      session, options,
      [&](const Ledger& ledger) {
        std::vector<std::string> subjects = with_contents(ledger, bag_named(ledger, options.from));
        for (std::string& one : with_contents(ledger, bag_named(ledger, options.into)))
          subjects.push_back(std::move(one));
        return subjects;
      },
      [&](Ledger& ledger, const Actor& actor) {
        const std::string from = bag_named(ledger, options.from);
        const std::string into = bag_named(ledger, options.into);
        ledger.combine(actor, from, into, options.reason);
        return CustodyOutcome{fmt::format("All of bag {} is in bag {} now; {} is retired.", group_identity(from),
                                          group_identity(into), group_identity(from)),
                              {{"from", from}, {"into", into}}};
      });
}

struct RecountOptions : CommonOptions {
  std::string bag;
  std::string item;
  int quantity = 0;
  std::string reason;
};

int recount_bag(const Session& session, const RecountOptions& options) {
  return do_custody(
      session, options, [&](const Ledger& ledger) { return with_contents(ledger, bag_named(ledger, options.bag)); },
      [&](Ledger& ledger, const Actor& actor) {
        const std::string bag = bag_named(ledger, options.bag);
        const std::string item = item_named(ledger, options.item);
        ledger.recount(actor, bag, item, options.quantity, options.reason);
        return CustodyOutcome{fmt::format("Bag {} holds {} pieces of {}.", group_identity(bag), options.quantity, item),
                              {{"bag", bag}, {"item", item}}};
      });
}

constexpr int k_most_pieces = 1'000'000'000;

}  // namespace

Subcommand split_command(const Session& session) {
  return {"split", "Takes some pieces of an item out of a bag into a new bag; the count stays whole.",
          [&session](Command& command) {
            auto options = std::make_shared<SplitOptions>();
            command.required_text("bag", options->bag, "The bag they are taken from", "BAG");
            command.required_text("--item", options->item, "Number of the item", "NUMBER");
            command.number("--pieces", options->quantity, 1, k_most_pieces, "How many pieces go into the new bag", "N");
            command.text("--reason", options->reason, "Why", "TEXT");
            add_ledger_option(command, *options);
            add_by_option(command, *options);
            add_json_option(command, *options);
            command.example("sherdmark split B-7KM-00042 --item 16ZQ5/12.67 --pieces 20 --by \"R. Quill\"");
            command.act([&session, options] { return split_bag(session, *options); });
          }};
}

Subcommand combine_command(const Session& session) {
  return {"combine", "Puts all of one bag into another; the first is retired, the count stays whole.",
          [&session](Command& command) {
            auto options = std::make_shared<CombineOptions>();
            command.required_text("from", options->from, "The bag that is emptied", "BAG");
            command.required_text("--into", options->into, "The bag that takes it all", "BAG");
            command.text("--reason", options->reason, "Why", "TEXT");
            add_ledger_option(command, *options);
            add_by_option(command, *options);
            add_json_option(command, *options);
            command.example("sherdmark combine B-7KM-00043 --into B-7KM-00042 --by \"R. Quill\"");
            command.act([&session, options] { return combine_bags(session, *options); });
          }};
}

Subcommand recount_command(const Session& session) {
  return {"recount", "Enters how many pieces of an item a bag holds after all, with the reason.",
          [&session](Command& command) {
            auto options = std::make_shared<RecountOptions>();
            options->quantity = -1;
            command.required_text("bag", options->bag, "The bag that was counted", "BAG");
            command.required_text("--item", options->item, "Number of the item", "NUMBER");
            command.number("--pieces", options->quantity, 0, k_most_pieces, "How many pieces there are", "N");
            command.required_text("--reason", options->reason, "Why the count is another", "TEXT");
            add_ledger_option(command, *options);
            add_by_option(command, *options);
            add_json_option(command, *options);
            command.example(
                "sherdmark recount B-7KM-00042 --item 16ZQ5/12.67 --pieces 41 \\\n"
                "  --reason \"two sherds were refitted\" --by \"R. Quill\"");
            command.act([&session, options] { return recount_bag(session, *options); });
          }};
}

}  // namespace sherdmark
