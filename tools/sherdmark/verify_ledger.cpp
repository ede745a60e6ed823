#include <memory>

#include "commands.h"
#include "sherdmark/report/proof_report.h"

namespace sherdmark {
namespace {

struct Options : CommonOptions {
  std::vector<std::string> against;
};

ProofProgress shown_by(const Session& session, std::unique_ptr<Progress>& bar, std::string& part) {
  return [&session, &bar, &part](const ProofStep& step) {
    if (part != step.part) {
      part = step.part;
      bar.reset();
      bar = std::make_unique<Progress>(session, part, static_cast<std::size_t>(step.total));
    }
    bar->advance_to(static_cast<std::size_t>(step.done));
  };
}

int act(const Session& session, const Options& options) {
  std::vector<WrittenHead> heads;
  for (const std::string& text : options.against) heads.push_back(parse_written_head(text));
  const std::filesystem::path file = session.ledger_file(options);
  ProofReport report{file.string(), {}, {}};
  {
    std::unique_ptr<Progress> bar;
    std::string part;
    report.proof = prove_ledger(file, shown_by(session, bar, part));
  }
  for (std::size_t i = 0; i < heads.size(); ++i)
    report.against.push_back({options.against[i], compare_head(file, heads[i])});
  session.say(options.json ? proof_json(report) : proof_text(report));
  return report.good() ? 0 : 1;
}

}  // namespace

Subcommand verify_ledger_command(const Session& session) {
  return {
      "verify-ledger",
      "Proves the ledger: nothing was changed or removed, the records are the sum of the events, the file is whole.",
      [&session](Command& command) {
        auto options = std::make_shared<Options>();
        command.many("--against", options->against,
                     "A head that was written down elsewhere (STATION:NUMBER:DIGITS); may be given several times",
                     "HEAD");
        add_ledger_option(command, *options);
        add_json_option(command, *options);
        command.example(
            "sherdmark verify-ledger\n"
            "sherdmark verify-ledger --against \"7KM:42:9f86d081 884c7d65 9a2feaa0 c55ad015\"");
        command.act([&session, options] { return act(session, *options); });
      }};
}

}  // namespace sherdmark
