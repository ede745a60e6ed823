// Any bytes as what a handheld scanner types, line after line: feedback for each, never an exception; and the lines
// that were accepted give the same session again, because that is how it is taken up after it was cut off.
#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <string>
#include <string_view>
#include <vector>

#include "sherdmark/base/files.h"
#include "sherdmark/base/text.h"
#include "sherdmark/verify/scan_session.h"
#include "support/test_support.h"
#include "verify/memory_collection.h"

namespace {

using namespace sherdmark;

constexpr std::size_t k_most_lines = 200;

// The bag of the seeds, with its prints and its one item.
const testing::MemoryCollection& records() {
  static const testing::MemoryCollection made = [] {
    testing::MemoryCollection collection;
    collection.key = "32XN";
    BagRecord bag;
    bag.id = "B8Q700001";
    bag.contents = {{"2031-114-1", 2, 2, 0}};
    collection.bags[bag.id] = bag;
    collection.prints["8Q700001"] = {"8Q700001", LabelRole::bag, bag.id, "2031-114-1", 1, 1, PrintState::printed, "R"};
    collection.prints["8Q700002"] = {"8Q700002", LabelRole::tag, bag.id, "2031-114-1", 1, 1, PrintState::printed, "R"};
    collection.expected[bag.id] = {{"2031-114-1", "2031-114-1", 2}};
    collection.numbers["2031-114-1"] = {NumberMeaning::item, {"2031-114-1"}, {}, false, LabelDecision::direct, {}};
    collection.labels["2031-114-1"] = {1, 0, 2, 0, 0, 0};
    return collection;
  }();
  return made;
}

const HouseStandard& standard() {
  static const HouseStandard parsed = parse_house_standard(
      read_text(real_file_system(), testing::sample("standards/ostervane.toml")), "ostervane.toml");
  return parsed;
}

ScanSession new_session() {
  return {records(), standard(), [](const std::string& id) { return std::optional<std::string>{"Depot/" + id}; },
          "fuzz"};
}

void require_same(const ScanSession& session, const ScanSession& again) {
  if (session.sets_closed() != again.sets_closed() || session.place() != again.place()) std::abort();
  const auto& here = session.open_set().readings;
  const auto& there = again.open_set().readings;
  if (here.size() != there.size()) std::abort();
  for (std::size_t i = 0; i < here.size(); ++i)
    if (here[i].role != there[i].role || here[i].number != there[i].number || here[i].serial != there[i].serial)
      std::abort();
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view input{reinterpret_cast<const char*>(data), size};
  ScanSession session = new_session();
  ScanSession again = new_session();
  std::size_t lines = 0;
  for (std::string_view rest = input; !rest.empty() && lines < k_most_lines; ++lines) {
    const std::size_t end = std::min(rest.find('\n'), rest.size());
    const ScanFeedback feedback = session.hear(rest.substr(0, end));
    rest.remove_prefix(std::min(end + 1, rest.size()));
    if (feedback.line.empty()) std::abort();
    if (printable(feedback.line) != feedback.line) std::abort();
    if (feedback.keyboard) {
      session.use_keyboard(*feedback.keyboard);
      again.use_keyboard(*feedback.keyboard);
    }
    if (feedback.accepted) (void)again.hear(feedback.heard);
    if (feedback.ended) break;
  }
  require_same(session, again);
  return 0;
}
