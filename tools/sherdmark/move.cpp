#include <fmt/format.h>

#include <memory>

#include "commands.h"
#include "custody.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/ledger/inventory.h"
#include "sherdmark/ledger/places.h"

namespace sherdmark {
namespace {

struct Options : CommonOptions {
  std::string container;
  std::string place;
  std::string until;
  bool temporary = false;
  bool home = false;
  bool new_place = false;
};

std::string container_named(const Ledger& ledger, const std::string& name) {
  if (const auto box = parse_identity(IdentityKind::box, name)) return *box;
  return bag_named(ledger, name);
}

// A place that the ledger knows, by its path or by the code of its label; any other only when it is said to be new.
std::string place_for(const Session& session, const Ledger& ledger, const Options& options) {
  if (auto known = place_named(ledger, options.place)) return *std::move(known);
  std::string place = place_as_kept(options.place);
  if (options.new_place) {
    session.warn(fmt::format("\"{}\" was not known until now; the ledger has it as a new place.", printable(place)));
    return place;
  }
  if (const auto box = box_named(ledger, place))
    throw usage_error(fmt::format("\"{}\" is a box, not a place.", printable(*box)),
                      "Say where the box stands; which bags are in it the catalog's box column says.");
  const std::vector<std::string> like = places_like(ledger, place);
  throw usage_error(fmt::format("the ledger knows no place \"{}\".", printable(place)),
                    (like.empty() ? std::string{} : fmt::format("Is it {}? ", printable(join(like, ", or ")))) +
                        "If it is a place that was not used before, add --new-place.");
}

std::string grouped(const std::vector<std::string>& bags) {
  std::vector<std::string> names;
  for (const std::string& bag : bags) names.push_back(group_identity(bag));
  return join(names, ", ");
}

int act(const Session& session, const Options& options) {
  if (!options.until.empty() && !options.temporary)
    throw usage_error("--until goes with --temporary only.", "Say --temporary --until DATE.");
  if (options.temporary && options.home)
    throw usage_error("a home is not temporary.", "Say either --home or --temporary.");
  return do_custody(
      session, options, [&](const Ledger& ledger) { return std::vector{container_named(ledger, options.container)}; },
      [&](Ledger& ledger, const Actor& actor) {
        const std::string container = container_named(ledger, options.container);
        const std::string place = place_for(session, ledger, options);
        const std::vector<std::string> stay = bags_away(ledger, container);
        ledger.move(actor, {container, place, options.home, options.until});
        std::vector<std::string> more;
        if (!stay.empty())
          more.push_back(fmt::format("Not moved with it, for they are elsewhere just now: {}.", grouped(stay)));
        return CustodyOutcome{
            fmt::format("{} is at {} now{}{}.", group_identity(container), place, options.home ? ", its new home" : "",
                        options.temporary ? ", for the time being" +
                                                (options.until.empty() ? std::string{} : " until " + options.until)
                                          : std::string{}),
            {{"container", container}, {"place", place}, {"until", options.until}},
            std::move(more)};
      });
}

}  // namespace

Subcommand move_command(const Session& session) {
  return {
      "move", "Says where a bag or a box is now, and with --home that it belongs there.", [&session](Command& command) {
        auto options = std::make_shared<Options>();
        command.required_text("container", options->container, "Bag id, serial, scanned label, or box", "BAG|BOX");
        command.required_text("--to", options->place, "The place, from the outside in: \"Room 2/Range A/Shelf 3\"",
                              "PLACE");
        command.flag("--home", options->home, "It belongs there from now on");
        command.flag("--new-place", options->new_place, "The ledger does not know the place yet, and it is no slip");
        command.flag("--temporary", options->temporary, "It will come back to its home");
        command.text("--until", options->until, "When it should be back, with --temporary", "DATE");
        add_ledger_option(command, *options);
        add_by_option(command, *options);
        add_json_option(command, *options);
        command.example(
            "sherdmark move B-7KM-00042 --to \"Room 2/Range A/Shelf 3\" --home --by \"R. Quill\"\n"
            "sherdmark move \"Box 14\" --to \"Photo studio\" --new-place --temporary --until 2031-06-01 --by \"R. "
            "Quill\"");
        command.act([&session, options] { return act(session, *options); });
      }};
}

}  // namespace sherdmark
