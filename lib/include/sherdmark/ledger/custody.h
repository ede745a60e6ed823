// Values of field numbers and of what people do with containers.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <utility>
#include <vector>

namespace sherdmark {

// Life of a field number; never reused. Stored words, frozen.
enum class FieldState { reserved, issued, bound, spoiled, lost, returned };

struct FieldNumberRecord {
  std::string number;
  FieldState state = FieldState::reserved;
  std::string crew;  // of its block; empty when the catalog brought it in
  std::string lot;   // when bound
};

// One line of a field log.
struct FieldBinding {
  std::size_t row = 0;  // 1-based, for messages
  std::string number;
  std::string lot;        // number of a lot of the ledger
  std::string crew = {};  // as the log says; empty: the crew given for the whole log
  std::vector<std::pair<std::string, std::string>> context =
      {};  // field ("unit", "level" …) and value, as the log says
};

struct FieldLogProblem {
  std::size_t row = 0;
  std::string number;
  std::string what;
  std::string remedy;
  bool bound_elsewhere = false;  // the one problem that re-binding settles
};

struct BindResult {
  std::int64_t bound = 0;
  std::int64_t rebound = 0;  // were bound to another lot before
  std::int64_t prints_superseded = 0;
};

struct Move {
  std::string container;  // bag id, box id or box name
  std::string place;      // path
  bool home = false;      // also its home from now on
  std::string until;      // temporary: when it should be back; empty otherwise
};

struct LoanRecord {
  std::string id;
  std::string borrower;
  std::string lent;  // time
  std::string until;
  std::vector<std::string> out;  // bag ids not yet returned
  std::vector<std::string> returned;
};

}  // namespace sherdmark
