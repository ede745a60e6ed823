// How the bench, changed numbers and handheld scanning are told.
#include <fmt/format.h>

#include "ledger/event_telling.h"

namespace sherdmark {

std::string tell_filed(const Telling& told) {
  return with_reason(fmt::format("Prints {} were filed for later", listed(told.payload.at("serials"))), told.payload);
}

std::string tell_sheet_closed(const Telling& told) {
  return fmt::format("Pages {} of run {} were closed: every copy is applied, filed or destroyed.",
                     listed(told.payload.at("pages"), 40), told.payload.at("run").text());
}

std::string tell_bagged(const Telling& told) {
  const std::string bag = told.payload.at("bag").text();
  if (!told.payload.at("early").boolean()) return fmt::format("Bag {} was closed after drying.", bag);
  return with_reason(fmt::format("Bag {} was closed early", bag), told.payload);
}

std::string tell_renumbered(const Telling& told) {
  return with_reason(fmt::format("{} was renumbered {}; the old number is kept as a former number",
                                 told.payload.at("from").text(), told.payload.at("to").text()),
                     told.payload);
}

std::string tell_restricted(const Telling& told) {
  std::size_t forbidden = 0;
  auto serials = told.payload.at("void").elements();
  while (serials.next()) ++forbidden;
  return with_reason(fmt::format("{} was put under restricted care; {} unapplied labels were forbidden to be used",
                                 told.payload.at("item").text(), forbidden),
                     told.payload);
}

std::string tell_restriction_lifted(const Telling& told) {
  const std::string item = told.payload.at("item").text();
  return with_reason(tells(told, "flags")
                         ? fmt::format("The care flag \"{}\" was lifted from {}", told.payload.at("flag").text(), item)
                         : fmt::format("A care flag was lifted from {}", item),
                     told.payload);
}

std::string tell_concordance(const Telling& told) {
  std::string text;
  std::size_t all = 0;
  auto rows = told.payload.at("rows").elements();
  while (const auto row = rows.next()) {
    ++all;
    auto cell = row->elements();
    const std::string item = cell.need().text();
    const std::string written = cell.need().text();
    if (!tells(told, "former_numbers") && told.subject == item)
      text += fmt::format("{}A former number of {} was entered from {}.", text.empty() ? "" : " ", item,
                          told.payload.at("source").text());
    else if (told.subject == item || told.subject == written)
      text += fmt::format("{}Former number {} of {} was entered from {}.", text.empty() ? "" : " ", written, item,
                          told.payload.at("source").text());
  }
  return text.empty() ? fmt::format("{} former numbers were entered from {}.", all, told.payload.at("source").text())
                      : text;
}

std::string tell_assembled(const Telling& told) {
  const std::string assembly =
      tells(told, "assembly") ? "the assembly " + told.payload.at("assembly").text() : std::string{"an assembly"};
  const std::string items = listed(told.payload.at("items"));
  return with_reason(told.payload.at("joined").boolean() ? fmt::format("{} joined {}", items, assembly)
                                                         : fmt::format("{} left {}", items, assembly),
                     told.payload);
}

std::string tell_keyboard(const Telling& told) {
  return fmt::format("The scanner of this station was set up: keyboard {}{}.", told.payload.at("layout").text(),
                     told.payload.at("swapped_case").boolean() ? ", capitals and small letters exchanged" : "");
}

std::string tell_scan_opened(const Telling& told) {
  return fmt::format("Scanning session {} began.", told.payload.at("session").text());
}

std::string tell_scanned(const Telling& told) {
  return fmt::format("Scanned in session {}: {}.", told.payload.at("session").text(), told.payload.at("heard").text());
}

std::string tell_scan_closed(const Telling& told) {
  return fmt::format("Scanning session {} ended.", told.payload.at("session").text());
}

}  // namespace sherdmark
