#include "sherdmark/ledger/event.h"

#include <fmt/format.h>

#include "sherdmark/base/files.h"
#include "sherdmark/base/hash.h"

namespace sherdmark {

// Each field is preceded by its length, so that no two different events make the same bytes. A long payload, which
// comes last, is not copied for it.
std::string event_hash(const Event& event) {
  constexpr std::size_t k_long_bytes = 65'536;
  const std::string sequence = fmt::format("{}", event.sequence);
  std::string bytes = "sherdmark-event-1\n";
  for (const std::string* field :
       {&event.station, &sequence, &event.time, &event.person, &event.kind, &event.previous}) {
    bytes += fmt::format("{}:", field->size());
    bytes += *field;
    bytes += '\n';
  }
  bytes += fmt::format("{}:", event.payload.size());
  if (event.payload.size() < k_long_bytes) return sha256_hex(bytes + event.payload + '\n');
  Sha256 hash;
  hash.add(as_byte_span(bytes));
  hash.add(as_byte_span(event.payload));
  hash.add(as_byte_span("\n"));
  return hash.hex();
}

}  // namespace sherdmark
