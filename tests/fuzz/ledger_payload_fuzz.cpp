// Any bytes as the payload of an event: the first line is the kind, the rest the payload. It is applied to a ledger of
// its own in memory, or refused with an error; either way nothing of a refused event is left.
#include <cstdint>
#include <cstdlib>
#include <string>
#include <string_view>

#include "ledger/apply.h"
#include "ledger/schema.h"
#include "sherdmark/base/error.h"

namespace {

using sherdmark::Database;

// One ledger for all inputs; every input is rolled back.
Database& founded() {
  static Database& made = []() -> Database& {
    static Database db{{}, Database::Mode::temporary};
    db.execute("PRAGMA foreign_keys = ON; PRAGMA recursive_triggers = ON");
    sherdmark::make_schema(db);
    sherdmark::Event event{"7KM", 1, "2031-05-04T09:00:00Z", "Ana Quill", "founded", "", std::string(64, '0'), ""};
    event.payload =
        R"({"key":"K7MB","machine":"m","standard":{"edition":"1","name":"n","schemes":["site numbers"],"sha256":")" +
        std::string(64, 'a') + R"(","source":"x"}})";
    sherdmark::apply(db, 1, event);
    db.execute("INSERT INTO events VALUES(1,'7KM',1,'2031-05-04T09:00:00Z','Ana Quill','founded','" +
               std::string(64, '0') + "','" + std::string(64, '1') + "','x')");
    return db;
  }();
  return made;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view input{reinterpret_cast<const char*>(data), size};
  const std::size_t line = input.find('\n');
  if (line == std::string_view::npos) return 0;
  Database& db = founded();
  const std::string before =
      db.find_text("SELECT group_concat(code || prints || bags || places) FROM stations").value_or("");
  {
    const sherdmark::Transaction transaction{db};
    sherdmark::Event event{"7KM",
                           2,
                           "2031-05-04T09:00:00Z",
                           "Ana Quill",
                           std::string{input.substr(0, line)},
                           std::string{input.substr(line + 1)},
                           std::string(64, '1'),
                           ""};
    try {
      sherdmark::apply(db, 2, event);
    } catch (const sherdmark::Error& error) {
      if (error.family() == sherdmark::ErrorFamily::usage) std::abort();
    }
  }
  if (db.find_text("SELECT group_concat(code || prints || bags || places) FROM stations").value_or("") != before)
    std::abort();
  return 0;
}
