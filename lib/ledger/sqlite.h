// A thin RAII seam over SQLite: database, statement, transaction. The only way this layer touches a database;
// sqlite.cpp and kept_journal.cpp are the only files that include sqlite3.h. SQLite's result codes become
// sherdmark::Error here.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

struct sqlite3;
struct sqlite3_stmt;

namespace sherdmark {

class Database;
class KeptJournal;

// A prepared statement. Columns count from 0, parameters from 1. Returned text is valid until the next step.
class Statement {
 public:
  Statement(Statement&& other) noexcept;
  Statement& operator=(Statement&&) = delete;
  Statement(const Statement&) = delete;
  Statement& operator=(const Statement&) = delete;
  ~Statement();

  // Binds all parameters in order. Text is copied unless `run` is used.
  template <class... Values>
  Statement& with(const Values&... values) {
    reset();
    copy_text_ = true;
    int index = 0;
    (bind(++index, values), ...);
    return *this;
  }
  // Binds, executes to the end, resets.
  template <class... Values>
  void run(const Values&... values) {
    reset();
    copy_text_ = false;
    int index = 0;
    (bind(++index, values), ...);
    while (step()) {
    }
    reset();
  }
  [[nodiscard]] bool step();  // true while there is a row
  void reset();

  [[nodiscard]] int columns() const;
  [[nodiscard]] bool is_null(int column) const;
  [[nodiscard]] std::int64_t integer(int column) const;
  [[nodiscard]] double decimal(int column) const;
  [[nodiscard]] std::string_view view(int column) const;
  [[nodiscard]] std::string text(int column) const { return std::string{view(column)}; }
  [[nodiscard]] std::optional<std::int64_t> maybe_integer(int column) const;
  [[nodiscard]] std::optional<double> maybe_decimal(int column) const;
  [[nodiscard]] std::string column_name(int column) const;
  // Type and value as one comparable text: "i12", "r1.5", "tabc", "n".
  [[nodiscard]] std::string tagged(int column) const;

 private:
  friend class Database;
  friend class BulkInsert;
  Statement(Database& database, sqlite3_stmt* handle, std::string_view sql);

  void bind(int index, std::int64_t value);
  void bind(int index, int value) { bind(index, static_cast<std::int64_t>(value)); }
  void bind(int index, bool value) { bind(index, static_cast<std::int64_t>(value ? 1 : 0)); }
  void bind(int index, double value);
  void bind(int index, std::string_view value);
  void bind(int index, const std::string& value) { bind(index, std::string_view{value}); }
  void bind(int index, const char* value) { bind(index, std::string_view{value}); }
  void bind(int index, std::nullptr_t);
  template <class Value>
  void bind(int index, const std::optional<Value>& value) {
    if (value)
      bind(index, *value);
    else
      bind(index, nullptr);
  }

  Database* database_;
  sqlite3_stmt* handle_;
  std::string_view sql_;  // the key in the database's cache
  bool copy_text_ = true;
};

class Database {
 public:
  enum class Mode { create, write, read, temporary };

  // create: a new file. temporary: in memory, spilling to a nameless file. read: what an act that was cut off left
  // half-done is undone first, where the file may be written. Throws environment_error or data_error.
  Database(const std::filesystem::path& file, Mode mode);
  ~Database();
  Database(const Database&) = delete;
  Database& operator=(const Database&) = delete;
  Database(Database&&) = delete;
  Database& operator=(Database&&) = delete;

  void execute(const std::string& script);  // statements without parameters
  // Statements are kept, by their text, and handed out again: for texts that are the same at every call.
  [[nodiscard]] Statement prepare(std::string_view sql);
  // For SQL made at run time; not kept.
  [[nodiscard]] Statement prepare_once(const std::string& sql);
  template <class... Values>
  void run(std::string_view sql, const Values&... values) {
    prepare(sql).run(values...);
  }
  template <class... Values>
  [[nodiscard]] std::optional<std::int64_t> find_integer(std::string_view sql, const Values&... values) {
    Statement statement = prepare(sql);
    if (!statement.with(values...).step()) return std::nullopt;
    return statement.maybe_integer(0);
  }
  template <class... Values>
  [[nodiscard]] std::optional<std::string> find_text(std::string_view sql, const Values&... values) {
    Statement statement = prepare(sql);
    if (!statement.with(values...).step() || statement.is_null(0)) return std::nullopt;
    return statement.text(0);
  }
  [[nodiscard]] std::int64_t last_id() const;
  [[nodiscard]] std::int64_t changes() const;
  [[nodiscard]] bool in_transaction() const;
  // Between transactions the journal file stays beside the database, its header zeroed, instead of being made and
  // deleted for each: none but the first waits for the folder. For the one writer, outside a transaction.
  void keep_journal();
  void journal_is_kept();  // after the first transaction that wrote since keep_journal()
  void remove_journal();
  // Copies the whole database, as of now, into a new file through SQLite's backup interface.
  void copy_to(const std::filesystem::path& target);

  [[nodiscard]] const std::filesystem::path& file() const { return file_; }

 private:
  friend class Statement;
  [[noreturn]] void fail(int code) const;
  void give_back(std::string_view sql, sqlite3_stmt* handle);
  [[nodiscard]] sqlite3_stmt* compile(std::string_view sql, bool keep) const;

  std::filesystem::path file_;
  std::unique_ptr<KeptJournal> kept_journal_;
  sqlite3* handle_ = nullptr;
  std::map<std::string, std::vector<sqlite3_stmt*>, std::less<>> idle_;
};

// BEGIN IMMEDIATE now; ROLLBACK at the end of the scope unless committed. Inside another transaction it is a part of
// that one: what it wrote is committed with the outer one, and a part that is not committed rolls all of it back.
class Transaction {
 public:
  explicit Transaction(Database& database);
  ~Transaction();
  Transaction(const Transaction&) = delete;
  Transaction& operator=(const Transaction&) = delete;
  Transaction(Transaction&&) = delete;
  Transaction& operator=(Transaction&&) = delete;
  void commit();

 private:
  Database& database_;
  bool within_;
  bool open_ = true;
};

// Foreign keys are not enforced while this lives; the caller checks them whole before it commits.
class UncheckedReferences {
 public:
  explicit UncheckedReferences(Database& database);  // outside a transaction
  ~UncheckedReferences();
  UncheckedReferences(const UncheckedReferences&) = delete;
  UncheckedReferences& operator=(const UncheckedReferences&) = delete;
  UncheckedReferences(UncheckedReferences&&) = delete;
  UncheckedReferences& operator=(UncheckedReferences&&) = delete;

 private:
  Database& database_;
};

// Throws internal_error when a row of one of the tables points at a missing row.
void check_references(Database& database, const std::vector<std::string>& tables);

// Inserts rows by the batch: `begin(rows)`, `add` so many times, `run`. Rows repeat much of what stood in the same
// place of the batch before; what is bound already is not bound again.
class BulkInsert {
 public:
  static constexpr std::size_t k_rows = 32;

  // `insert`: "INSERT OR ROLLBACK INTO … VALUES": what fails ends the whole transaction, so that SQLite need not copy
  // every page a statement touches in order to undo that statement alone. Texts inside `lasting` stay where they are
  // while this lives; all others are copied.
  BulkInsert(Database& database, std::string_view insert, std::size_t columns, std::string_view lasting);
  void begin(std::size_t rows);  // 1 … k_rows
  template <class... Values>
  void add(const Values&... values) {
    (bind(values), ...);
  }
  void add_kept(std::string_view text);     // stays where it is until `run`
  void add_lasting(std::string_view text);  // stays where it is while this lives
  void run();

 private:
  struct Bound {  // to one parameter
    enum class Kind : char { unknown, null, integer, text };
    Kind kind = Kind::unknown;
    std::int64_t integer = 0;
    std::string_view text{};  // that lasts
    friend bool operator==(const Bound&, const Bound&) = default;
  };

  void bind(std::int64_t value);
  void bind(double value);
  void bind(std::string_view value);
  template <class Value>
  void bind(const std::optional<Value>& value) {
    if (value)
      bind(*value);
    else
      bind_null();
  }
  void bind_null();
  // Steps to the next parameter; true when that is bound to it already. If not, the caller binds it.
  [[nodiscard]] bool is_bound(const Bound& value);
  void next_is_new() { (*in_current_)[static_cast<std::size_t>(bound_++)].kind = Bound::Kind::unknown; }
  [[nodiscard]] bool is_lasting(std::string_view text) const;
  [[nodiscard]] std::string sql_for(std::size_t rows) const;

  Database& database_;
  std::string insert_;
  std::size_t columns_;
  std::string_view lasting_;
  std::optional<Statement> whole_, rest_;
  std::vector<Bound> in_whole_, in_rest_;
  Statement* current_ = nullptr;
  std::vector<Bound>* in_current_ = nullptr;
  int bound_ = 0;
};

// Many reads as of one moment, and under one lock of the file. Does nothing inside another transaction.
class Snapshot {
 public:
  explicit Snapshot(Database& database);
  ~Snapshot();
  Snapshot(const Snapshot&) = delete;
  Snapshot& operator=(const Snapshot&) = delete;
  Snapshot(Snapshot&&) = delete;
  Snapshot& operator=(Snapshot&&) = delete;

 private:
  Database& database_;
  bool open_;
};

}  // namespace sherdmark
