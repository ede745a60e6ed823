#include <fmt/format.h>

#include <memory>

#include "commands.h"
#include "custody.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/ledger/recount.h"

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
        return CustodyOutcome{
            fmt::format("{} of {} went from bag {} into the new bag {}.",
                        options.quantity == 1 ? "1 piece" : fmt::format("{} pieces", options.quantity), item,
                        group_identity(bag), group_identity(made)),
            {{"bag", bag}, {"into", made}, {"item", item}},
            {"Both bags need new labels; those of the new bag join the queue with the next plan, which labels --due "
             "makes."}};
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
  std::string weight;
  std::string reason;
};

std::optional<std::int64_t> pieces_of(const RecountOptions& options) {
  if (options.quantity < 0) return std::nullopt;
  return options.quantity;
}

std::optional<double> weight_of(const RecountOptions& options) {
  if (options.weight.empty()) return std::nullopt;
  const auto grams = parse_decimal(trim(options.weight));
  if (!grams)
    throw usage_error(fmt::format("\"{}\" is no weight in grams.", printable(options.weight)), "Write it like 812.5.");
  return grams;
}

std::string recount_sentence(const Recount& recount, const RecountResult& result) {
  std::string text = fmt::format("Bag {} holds ", group_identity(recount.bag));
  if (recount.pieces) text += *recount.pieces == 1 ? "1 piece of " : fmt::format("{} pieces of ", *recount.pieces);
  text += recount.item;
  if (recount.weight_g) text += fmt::format(", {:.1f} g", *recount.weight_g);
  if (result.weight_conserved)
    text += fmt::format("; the weight is the same as recorded, {:.1f} g", *result.weight_before_g);
  return text + (result.changed ? "." : ". That is what is recorded; nothing was changed.");
}

int recount_bag(const Session& session, const RecountOptions& options) {
  return do_custody(
      session, options, [&](const Ledger& ledger) { return with_contents(ledger, bag_named(ledger, options.bag)); },
      [&](Ledger& ledger, const Actor& actor) {
        const std::string bag = bag_named(ledger, options.bag);
        const std::string item = item_named(ledger, options.item);
        const Recount recount{bag, item, pieces_of(options), weight_of(options), options.reason};
        const RecountResult result = recount_item(ledger, actor, recount);
        const bool lent = ledger.find_bag(bag).value().lent;
        std::vector<std::string> more;
        if (lent)
          more.emplace_back("This bag is on loan: whoever has it must have counted it. Count it when it is back.");
        return CustodyOutcome{recount_sentence(recount, result),
                              {{"bag", bag},
                               {"item", item},
                               {"changed", result.changed ? "yes" : "no"},
                               {"weight_conserved", result.weight_conserved ? "yes" : "no"},
                               {"lent", lent ? "yes" : "no"}},
                              std::move(more)};
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
  return {"recount",
          "Enters how many pieces of an item a bag holds after all, or what they weigh; without a reason only where "
          "the weight is the same.",
          [&session](Command& command) {
            auto options = std::make_shared<RecountOptions>();
            options->quantity = -1;
            command.required_text("bag", options->bag, "The bag that was counted", "BAG");
            command.required_text("--item", options->item, "Number of the item", "NUMBER");
            command.number("--pieces", options->quantity, 0, k_most_pieces, "How many pieces there are", "N");
            command.text("--weight", options->weight, "What all of the item weighs", "GRAMS");
            command.text("--reason", options->reason, "Why the count or weight is another", "TEXT");
            add_ledger_option(command, *options);
            add_by_option(command, *options);
            add_json_option(command, *options);
            command.example(
                "sherdmark recount B-7KM-00042 --item 16ZQ5/12.67 --pieces 41 \\\n"
                "  --reason \"one sherd went to the laboratory\" --by \"R. Quill\"\n"
                "sherdmark recount B-7KM-00042 --item 16ZQ5/12.67 --pieces 43 --weight 812.4");
            command.act([&session, options] { return recount_bag(session, *options); });
          }};
}

}  // namespace sherdmark
