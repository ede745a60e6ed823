#include "sherdmark/report/proof_report.h"
#include "report/json_value.h"

#include <fmt/format.h>

#include <algorithm>

#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

using Json = JsonValue;

std::string events_of(std::int64_t events, std::size_t stations) {
  return fmt::format("{} {} of {} {}", events, events == 1 ? "event" : "events", stations,
                     stations == 1 ? "station" : "stations");
}

std::string heads_text(std::span<const StationHead> heads) {
  std::string text =
      "The newest event of each station; on paper, in another house, it can prove later what was here:\n";
  for (const StationHead& head : heads) text += "    " + write_head(head) + "\n";
  return text;
}

Json heads_json(std::span<const StationHead> heads) {
  Json list = Json::array();
  for (const StationHead& head : heads)
    list.push_back({{"station", head.station}, {"sequence", head.sequence}, {"hash", head.hash}});
  return list;
}

std::string against_text(const ComparedHead& head) {
  if (!head.comparison.found) return fmt::format("Against {}: {}\n", printable(head.written), head.comparison.problem);
  return fmt::format("Against {}: the same. Nothing up to event {} of station {} was changed or cut off; {} more {}.\n",
                     printable(head.written), head.comparison.sequence, head.comparison.station, head.comparison.later,
                     head.comparison.later == 1 ? "follows" : "follow");
}

}  // namespace

bool ProofReport::good() const {
  return proof.good() && std::ranges::all_of(against, [](const ComparedHead& head) { return head.comparison.found; });
}

std::string proof_text(const ProofReport& report) {
  std::string text;
  if (report.proof.good()) {
    text = fmt::format(
        "{} holds: {}. Each follows the one before it, the records are what they add up to, and the file "
        "is whole.\n",
        printable(report.ledger), events_of(report.proof.events, report.proof.heads.size()));
  } else {
    text = fmt::format(
        "{} does NOT hold. Leave the file as it is, work on with the last backup, and show this to "
        "whoever keeps the ledger:\n",
        printable(report.ledger));
    for (const std::string& problem : report.proof.problems) text += "    " + printable(problem) + "\n";
  }
  for (const ComparedHead& head : report.against) text += against_text(head);
  return text + heads_text(report.proof.heads);
}

std::string proof_json(const ProofReport& report) {
  Json json{{"schema", 1}, {"ledger", report.ledger}, {"good", report.good()}, {"events", report.proof.events}};
  json["heads"] = heads_json(report.proof.heads);
  json["problems"] = report.proof.problems;
  json["against"] = Json::array();
  for (const ComparedHead& head : report.against) {
    const HeadComparison& found = head.comparison;
    json["against"].push_back({{"head", head.written},
                               {"found", found.found},
                               {"station", found.found ? Json(found.station) : Json(nullptr)},
                               {"sequence", found.found ? Json(found.sequence) : Json(nullptr)},
                               {"later", found.found ? Json(found.later) : Json(nullptr)},
                               {"problem", found.found ? Json(nullptr) : Json(found.problem)}});
  }
  return json.document();
}

std::string backup_text(const BackupReport& report) {
  std::string text;
  if (!report.backup.empty())
    text += fmt::format("{}: a copy of {}, opened again and proven: {}.\n", printable(report.backup),
                        printable(report.ledger), events_of(report.events, report.heads.size()));
  if (!report.archive.empty()) {
    text += fmt::format("{}: an archive package of {} files; README.txt says what they are.\n",
                        printable(report.archive), report.archived.size());
    text += report.with_restricted
                ? "It holds restricted columns: keep it as you keep the ledger. Asking for it stands in the history.\n"
                : "Restricted columns were left out. It can be handed on; it cannot be restored from.\n";
  }
  return text + heads_text(report.heads);
}

std::string backup_json(const BackupReport& report) {
  const auto or_null = [](const std::string& name) { return name.empty() ? Json(nullptr) : Json(name); };
  Json json{{"schema", 1},
            {"ledger", report.ledger},
            {"backup", or_null(report.backup)},
            {"archive", or_null(report.archive)},
            {"with_restricted", report.with_restricted},
            {"events", report.events}};
  json["heads"] = heads_json(report.heads);
  json["files"] = Json::array();
  for (const ArchivedFile& file : report.archived)
    json["files"].push_back({{"name", file.name}, {"sha256", file.sha256}});
  return json.document();
}

std::string restore_text(const std::string& from, const std::string& ledger, const RestoredLedger& restored) {
  std::string text = fmt::format("{}: restored from {} and proven: {}.\n", printable(ledger), printable(from),
                                 events_of(restored.proof.events, restored.proof.heads.size()));
  text += fmt::format("This computer goes on as station {}, so that no serial and no bag id is given out twice.\n",
                      restored.station);
  return text + "What was done after the backup was made is not in it: labels printed since read as unknown.\n";
}

std::string restore_json(const std::string& from, const std::string& ledger, const RestoredLedger& restored) {
  Json json{{"schema", 1},
            {"ledger", ledger},
            {"from", from},
            {"station", restored.station},
            {"events", restored.proof.events}};
  json["heads"] = heads_json(restored.proof.heads);
  json["notices"] = restored.notices;
  return json.document();
}

}  // namespace sherdmark
