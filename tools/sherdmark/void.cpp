#include <fmt/format.h>

#include <algorithm>
#include <memory>

#include "commands.h"
#include "custody.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/text.h"
#include "sherdmark/ledger/scan_log.h"
#include "sherdmark/ledger/scanned_code.h"

namespace sherdmark {
namespace {

struct VoidOptions : CommonOptions {
  std::vector<std::string> serials;
  std::string reason;
};

std::string serial_named(const Ledger& ledger, const std::string& name) {
  const auto code = scanned_code(ledger, name);
  return code ? code->serial : to_upper_ascii(trim(name));
}

int void_labels(const Session& session, const VoidOptions& options) {
  std::vector<std::string> serials;
  return do_custody(
      session, options,
      [&](const Ledger& ledger) {
        for (const std::string& name : options.serials) serials.push_back(serial_named(ledger, name));
        std::vector<std::string> subjects;
        for (const std::string& serial : serials)
          if (const auto print = ledger.find_print(serial)) subjects.push_back(print->subject);
        return subjects;
      },
      [&](Ledger& ledger, const Actor& actor) {
        ledger.void_prints(actor, serials, options.reason);
        return CustodyOutcome{fmt::format("{} must not be used any more.", join(serials, ", ")),
                              {},
                              {"Take them away and destroy them; a label that is applied is taken off only by whoever "
                               "the conservator says."}};
      });
}

struct RestrictOptions : CommonOptions {
  std::string item;
  std::string flag;
  std::string reason;
  bool lift = false;
};

int restrict(const Session& session, const RestrictOptions& options) {
  Ledger ledger = session.open_for_writing(options);
  if (options.lift) {
    const LiftedRestriction lifted =
        lift_restriction(ledger, ledger.actor(session.person(options)), options.item, options.flag, options.reason);
    session.say(options.json ? lifted_json(lifted) : lifted_text(lifted));
    return 0;
  }
  const LateRestriction late =
      restrict_item(ledger, ledger.actor(session.person(options)), options.item, options.flag, options.reason);
  session.say(options.json ? restriction_json(late) : restriction_text(late));
  return late.applied.empty() ? 0 : 1;
}

struct AssemblyOptions : CommonOptions {
  std::string name;
  std::vector<std::string> add;
  std::vector<std::string> remove;
  std::string reason;
};

// "12.69, 14.3" and the option given twice say the same.
std::vector<std::string> one_by_one(const std::vector<std::string>& given) {
  std::vector<std::string> numbers;
  for (const std::string& list : given)
    for (const std::string& number : split(list, ','))
      if (!trim(number).empty()) numbers.emplace_back(trim(number));
  return numbers;
}

int assembly(const Session& session, const AssemblyOptions& options) {
  const auto show = [&](const Ledger& ledger) {
    std::vector<AssemblyRecord> all = assemblies(ledger);
    if (!options.name.empty()) std::erase_if(all, [&](const AssemblyRecord& one) { return one.name != options.name; });
    session.say(options.json ? assemblies_json(all) : assemblies_text(all));
  };
  if (options.add.empty() && options.remove.empty()) {
    const Ledger ledger = session.open_for_reading(options);
    const auto all = assemblies(ledger);
    if (!options.name.empty() && std::ranges::find(all, options.name, &AssemblyRecord::name) == all.end())
      throw usage_error(fmt::format("there is no assembly \"{}\".", printable(options.name)),
                        "Without a name all of them are listed; --add makes a new one.");
    show(ledger);
    return 0;
  }
  Ledger ledger = session.open_for_writing(options);
  const Actor actor = ledger.actor(session.person(options));
  write_as_one(ledger, [&] {
    if (!options.add.empty()) join_assembly(ledger, actor, options.name, one_by_one(options.add), options.reason);
    if (!options.remove.empty())
      leave_assembly(ledger, actor, options.name, one_by_one(options.remove), options.reason);
  });
  show(ledger);
  return 0;
}

}  // namespace

Subcommand void_command(const Session& session) {
  return {
      "void", "Forbids prints to be used; a copy that is due again waits in the queue.", [&session](Command& command) {
        auto options = std::make_shared<VoidOptions>();
        command.required_many("serials", options->serials, "Serials as they stand under the codes, or scanned codes");
        command.required_text("--reason", options->reason, "Why", "TEXT");
        add_ledger_option(command, *options);
        add_by_option(command, *options);
        add_json_option(command, *options);
        command.example("sherdmark void 7KM00042 --reason \"torn\" --by \"R. Quill\"");
        command.act([&session, options] { return void_labels(session, *options); });
      }};
}

Subcommand restrict_command(const Session& session) {
  return {"restrict",
          "Puts an item under restricted care after the fact: unapplied labels are void, applied ones are listed and "
          "stay.",
          [&session](Command& command) {
            auto options = std::make_shared<RestrictOptions>();
            command.required_text("item", options->item, "The item's number", "NUMBER");
            command.required_text("--flag", options->flag, "The care flag, as the house standard names it", "FLAG");
            command.required_text("--reason", options->reason, "Who asked for it, and why", "TEXT");
            command.flag("--lift", options->lift, "Take such a flag away again; a catalog alone never does");
            add_ledger_option(command, *options);
            add_by_option(command, *options);
            add_json_option(command, *options);
            command.example(
                "sherdmark restrict 16ZQ5/12.66 --flag funerary --reason \"consultation of 4 May\" --by \"R. Quill\"");
            command.act([&session, options] { return restrict(session, *options); });
          }};
}

Subcommand assembly_command(const Session& session) {
  return {"assembly", "Shows or changes which items belong together, as the pieces of a mended vessel do.",
          [&session](Command& command) {
            auto options = std::make_shared<AssemblyOptions>();
            command.text("name", options->name, "The assembly; none: all of them", "NAME");
            command.many("--add", options->add, "Items that belong to it; several with commas between", "NUMBER");
            command.many("--remove", options->remove, "Items that do not, with --reason", "NUMBER");
            command.text("--reason", options->reason, "Why", "TEXT");
            add_ledger_option(command, *options);
            add_by_option(command, *options);
            add_json_option(command, *options);
            command.example("sherdmark assembly \"Crock 2\" --add 16ZQ5/12.69,16ZQ5/14.3 --by \"R. Quill\"");
            command.act([&session, options] { return assembly(session, *options); });
          }};
}

}  // namespace sherdmark
