#include <fmt/format.h>

#include <memory>

#include "commands.h"
#include "custody.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/ledger/box_lists.h"
#include "sherdmark/ledger/boxing.h"
#include "sherdmark/ledger/inventory.h"
#include "sherdmark/ledger/places.h"
#include "sherdmark/ledger/scanned_code.h"
#include "sherdmark/standard/privacy.h"

namespace sherdmark {
namespace {

struct Options : CommonOptions {
  std::string container;
  std::string place;
  std::string box;
  std::string until;
  bool temporary = false;
  bool home = false;
  bool new_place = false;
};

std::string container_named(const Ledger& ledger, const std::string& name) {
  if (const auto box = parse_identity(IdentityKind::box, name)) return *box;
  return bag_named(ledger, name);
}

struct Target {
  std::string place;
  bool is_new = false;
};

// A place that the ledger knows, by its path or by the code of its label; any other only when it is said to be new.
Target place_for(const Ledger& ledger, const Options& options) {
  if (auto known = place_named(ledger, options.place)) return {*std::move(known)};
  std::string place = place_as_kept(options.place);
  if (options.new_place) return {std::move(place), true};
  if (const auto box = box_named(ledger, place))
    throw usage_error(fmt::format("\"{}\" is a box, not a place.", printable(*box)),
                      fmt::format("Say where the box stands, or put the bag into it: --box \"{}\"", printable(*box)));
  std::vector<std::string> like;
  if (!is_restricted(ledger.standard(), "place")) like = places_like(ledger, place);
  throw usage_error(fmt::format("the ledger knows no place \"{}\".", printable(place)),
                    (like.empty() ? std::string{} : fmt::format("Is it {}? ", printable(join(like, ", or ")))) +
                        "If it is a place that was not used before, add --new-place.");
}

// Said once it is so.
void tell_new(const Session& session, const Target& target) {
  if (target.is_new)
    session.warn(
        fmt::format("\"{}\" was not known until now; the ledger has it as a new place.", printable(target.place)));
}

std::string grouped(const std::vector<std::string>& bags) {
  std::vector<std::string> names;
  for (const std::string& bag : bags) names.push_back(group_identity(bag));
  return join(names, ", ");
}

constexpr std::string_view k_no_box = "-";

std::string box_for(const Ledger& ledger, const std::string& name) {
  const auto code = scanned_code(ledger, name);
  const std::string wanted = code && code->role == LabelRole::box
                                 ? code->subject
                                 : parse_identity(IdentityKind::box, name).value_or(std::string{trim(name)});
  if (auto box = box_named(ledger, wanted)) return *std::move(box);
  throw usage_error(fmt::format("the ledger knows no box \"{}\".", printable(name)),
                    "Write its name as it stands on the box, or scan its label.");
}

// A bag goes into a box, or out of the one it lies in.
CustodyOutcome change_box(const Session& session, const Options& options, Ledger& ledger, const Actor& actor) {
  const std::string bag = bag_named(ledger, options.container);
  std::vector<std::string> boxes;
  if (const auto record = ledger.find_bag(bag); record && !record->box.empty()) boxes.push_back(record->box);
  std::string done;
  std::string place;
  if (options.box == k_no_box) {
    const Target target = place_for(ledger, options);
    place = target.place;
    take_out_of_box(ledger, actor, bag, place);
    tell_new(session, target);
    done = fmt::format("{} lies in no box any more; it is at {} now, its new home.", group_identity(bag), place);
  } else {
    boxes.push_back(box_for(ledger, options.box));
    put_into_box(ledger, actor, bag, boxes.back());
    if (!is_restricted(ledger.standard(), "place")) place = ledger.find_bag(bag).value().now_place;
    done = fmt::format("{} lies in box \"{}\" now{}.", group_identity(bag), printable(boxes.back()),
                       place.empty() ? "" : ", at " + place);
  }
  std::vector<std::string> more;
  for (const std::string& box : boxes)
    if (const BoxList list = box_list(ledger, box); list.revision > 0 && !list.current)
      more.push_back(
          fmt::format("The list of box \"{0}\" is stale: sherdmark box-list \"{0}\" --out DIR", printable(box)));
  return {std::move(done),
          {{"container", bag}, {"place", place}, {"box", options.box == k_no_box ? "" : boxes.back()}},
          std::move(more)};
}

int act(const Session& session, const Options& options) {
  if (options.box.empty() && options.place.empty())
    throw usage_error("nothing says where to.", "Say --to PLACE, or --box BOX for a bag that goes into a box.");
  if (!options.box.empty()) {
    if (options.temporary || !options.until.empty())
      throw usage_error("a bag goes into a box, or out of it, for good.", "Move it with --to PLACE --temporary.");
    if ((options.box == k_no_box) == options.place.empty())
      throw usage_error("a bag in a box is where the box is; one that is taken out of its box needs a place.",
                        "Say --box BOX alone, or --box - --to PLACE.");
    return do_custody(
        session, options, [&](const Ledger& ledger) { return std::vector{bag_named(ledger, options.container)}; },
        [&](Ledger& ledger, const Actor& actor) { return change_box(session, options, ledger, actor); });
  }
  if (!options.until.empty() && !options.temporary)
    throw usage_error("--until goes with --temporary only.", "Say --temporary --until DATE.");
  if (options.temporary && options.home)
    throw usage_error("a home is not temporary.", "Say either --home or --temporary.");
  return do_custody(
      session, options, [&](const Ledger& ledger) { return std::vector{container_named(ledger, options.container)}; },
      [&](Ledger& ledger, const Actor& actor) {
        const std::string container = container_named(ledger, options.container);
        const Target target = place_for(ledger, options);
        const std::string& place = target.place;
        const std::string until = day_named(ledger, options.until);
        const std::vector<std::string> stay = bags_away(ledger, container);
        ledger.move(actor, {container, place, options.home, until});
        tell_new(session, target);
        std::vector<std::string> more;
        if (!stay.empty())
          more.push_back(fmt::format("Not moved with it, for they are elsewhere just now: {}.", grouped(stay)));
        return CustodyOutcome{
            fmt::format("{} is at {} now{}{}.", group_identity(container), place, options.home ? ", its new home" : "",
                        options.temporary ? ", for the time being" + (until.empty() ? std::string{} : " until " + until)
                                          : std::string{}),
            {{"container", container}, {"place", place}, {"until", until}},
            std::move(more)};
      });
}

}  // namespace

Subcommand move_command(const Session& session) {
  return {
      "move", "Says where a bag or a box is now, and with --home that it belongs there; or which box a bag lies in.",
      [&session](Command& command) {
        auto options = std::make_shared<Options>();
        command.required_text("container", options->container, "Bag id, serial, scanned label, or box", "BAG|BOX");
        command.text("--to", options->place, "The place, from the outside in: \"Room 2/Range A/Shelf 3\"", "PLACE");
        command.text("--box", options->box,
                     "The bag lies in this box from now on (name, id or scanned label); - with --to: in none any more",
                     "BOX");
        command.flag("--home", options->home, "It belongs there from now on");
        command.flag("--new-place", options->new_place, "The ledger does not know the place yet, and it is no slip");
        command.flag("--temporary", options->temporary, "It will come back to its home");
        command.text("--until", options->until, "When it should be back, with --temporary", "DATE");
        add_ledger_option(command, *options);
        add_by_option(command, *options);
        add_json_option(command, *options);
        command.example(
            "sherdmark move B-7KM-00042 --to \"Room 2/Range A/Shelf 3\" --home --by \"R. Quill\"\n"
            "sherdmark move B-7KM-00042 --box \"Box 14\" --by \"R. Quill\"\n"
            "sherdmark move \"Box 14\" --to \"Photo studio\" --new-place --temporary --until 2031-06-01 --by \"R. "
            "Quill\"");
        command.act([&session, options] { return act(session, *options); });
      }};
}

}  // namespace sherdmark
