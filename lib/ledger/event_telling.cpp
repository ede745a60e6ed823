#include "ledger/event_telling.h"

#include <fmt/format.h>

namespace sherdmark {

std::string tell_reserved(const Telling& told) {
  const std::string crew = told.payload.at("crew").text();
  return fmt::format("Field numbers were reserved{}: {}.", crew.empty() ? std::string{} : " for " + crew,
                     listed(told.payload.at("numbers")));
}

std::string tell_field_numbers(const Telling& told) {
  return with_reason(
      fmt::format("Field numbers became {}: {}", told.payload.at("state").text(), listed(told.payload.at("numbers"))),
      told.payload);
}

std::string tell_bound(const Telling& told) {
  std::string text;
  std::size_t all = 0;
  auto bindings = told.payload.at("bindings").elements();
  while (const auto line = bindings.next()) {
    ++all;
    auto cell = line->elements();
    const std::string number = cell.need().text();
    const std::string lot = cell.need().text();
    const auto walked = cell.next();  // the lot it was bound to until then
    const std::string before = walked ? walked->text() : std::string{};
    if (told.subject == number || told.subject == lot || (walked && told.subject == before))
      text += fmt::format("{}Field number {} was bound to lot {}{}.", text.empty() ? "" : " ", number, lot,
                          walked ? ", no longer to " + before : std::string{});
  }
  return text.empty() ? fmt::format("{} field numbers were bound.", all) : text;
}

std::string tell_moved(const Telling& told) {
  const std::string until = told.payload.at("until").text();
  return fmt::format("{} was moved to {}{}{}.", told.payload.at("container").text(),
                     place_in_words(told, told.payload.at("place").text()),
                     told.payload.at("home").boolean() ? ", its new home" : "",
                     until.empty() ? std::string{} : fmt::format(", until {}", until));
}

std::string tell_boxed(const Telling& told) {
  const auto named = [&](const char* key) { return told.payload.at(key).text(); };
  if (named("box").empty())
    return fmt::format("Bag {} was taken out of box {} and belongs at {}.", named("bag"), named("from"),
                       place_in_words(told, named("place")));
  return fmt::format("Bag {} was put into box {}{}.", named("bag"), named("box"),
                     named("from").empty() || named("from") == named("box") ? "" : ", out of box " + named("from"));
}

std::string pieces_in_words(std::int64_t count) { return fmt::format("{} piece{}", count, count == 1 ? "" : "s"); }

std::string tell_split(const Telling& told) {
  return with_reason(fmt::format("{} of {} went from bag {} into the new bag {}",
                                 pieces_in_words(told.payload.at("quantity").integer()), told.payload.at("item").text(),
                                 told.payload.at("bag").text(), told.payload.at("into").text()),
                     told.payload);
}

std::string tell_combined(const Telling& told) {
  return with_reason(
      fmt::format("All of bag {} went into bag {}", told.payload.at("from").text(), told.payload.at("into").text()),
      told.payload);
}

std::string tell_recounted(const Telling& told) {
  return with_reason(fmt::format("{} in bag {} was recounted: {}, was {}", told.payload.at("item").text(),
                                 told.payload.at("bag").text(), told.payload.at("quantity").integer(),
                                 told.payload.at("before").integer()),
                     told.payload);
}

std::string tell_weighed(const Telling& told) {
  const JsonObject& payload = told.payload;
  const auto before_g = payload.at("weight_before_g").maybe_decimal();
  std::string text = fmt::format("{} in bag {} was weighed: {:.1f} g{}", payload.at("item").text(),
                                 payload.at("bag").text(), payload.at("weight_g").decimal(),
                                 before_g ? fmt::format(", was {:.1f} g", *before_g) : std::string{});
  const auto before = payload.at("before").maybe_integer();
  const auto pieces = payload.at("quantity").maybe_integer();
  if (pieces && before && *pieces != *before) text += fmt::format("; {}, were {}", pieces_in_words(*pieces), *before);
  return with_reason(text, payload);
}

std::string tell_lent(const Telling& told) {
  const std::string until = told.payload.at("until").text();
  return fmt::format("Lent to {} as {}{}: {}.", told.payload.at("borrower").text(), told.payload.at("loan").text(),
                     until.empty() ? std::string{} : fmt::format(", until {}", until), listed(told.payload.at("bags")));
}

std::string tell_returned(const Telling& told) {
  return fmt::format("Came back from loan {}: {}.", told.payload.at("loan").text(), listed(told.payload.at("bags")));
}

std::string tell_printer(const Telling& told) {
  return fmt::format("Printer \"{}\" was calibrated ({}): {:.2f} % across, {:.2f} % down, turned by {:.2f} degrees.",
                     told.payload.at("printer").text(), told.payload.at("method").text(),
                     100 * told.payload.at("scale_x").decimal(), 100 * told.payload.at("scale_y").decimal(),
                     told.payload.at("skew_deg").decimal());
}

std::string tell_soak_test(const Telling& told) {
  const bool passed = told.payload.at("passed").boolean();
  return fmt::format("Soak test of {} {}: printer \"{}\", toner {}, paper {}, adhesive {}{}.",
                     told.payload.at("date").text(), passed ? "passed" : "failed", told.payload.at("printer").text(),
                     told.payload.at("toner").text(), told.payload.at("paper").text(),
                     told.payload.at("adhesive").text(),
                     passed ? fmt::format("; holds until {}", told.payload.at("expires").text()) : std::string{});
}

}  // namespace sherdmark
