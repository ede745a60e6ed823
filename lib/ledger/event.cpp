#include "sherdmark/ledger/event.h"

#include <fmt/format.h>

#include "sherdmark/base/hash.h"

namespace sherdmark {

// Each field is preceded by its length, so that no two different events make the same bytes.
std::string event_hash(const Event& event) {
  const std::string sequence = fmt::format("{}", event.sequence);
  std::string bytes = "sherdmark-event-1\n";
  bytes.reserve(event.payload.size() + 512);
  for (const std::string* field :
       {&event.station, &sequence, &event.time, &event.person, &event.kind, &event.previous, &event.payload}) {
    bytes += fmt::format("{}:", field->size());
    bytes += *field;
    bytes += '\n';
  }
  return sha256_hex(bytes);
}

}  // namespace sherdmark
