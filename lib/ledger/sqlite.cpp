#include "ledger/sqlite.h"

#include <fmt/format.h>
#include <sqlite3.h>
#include <unistd.h>

#include <functional>

#include "ledger/kept_journal.h"
#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

constexpr int k_busy_wait_ms = 5000;
constexpr int k_longest_value_bytes = 1 << 30;
constexpr int k_longest_kept_journal_bytes = 4 << 20;  // what a long act leaves of its journal

Error translate(int code, const char* message, const std::filesystem::path& file) {
  const ErrorPlace place{.file = file.string()};
  if (code == SQLITE_READONLY_ROLLBACK)
    return environment_error("the ledger was not closed properly, and what was half-done cannot be undone here", place,
                             "copy it and the file beside it that ends in -journal, both together, to a folder where "
                             "you may write, and use the copy");
  switch (code & 0xff) {
    case SQLITE_FULL:
      return environment_error("the disk is full; nothing was changed", place, "make room and do it again");
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      return environment_error("another program is writing to the ledger", place, "wait until it is done, then repeat");
    case SQLITE_READONLY:
    case SQLITE_PERM:
      return environment_error("the ledger cannot be written", place,
                               "check the permissions of the file and its folder; looking things up (show, history, "
                               "export) works all the same");
    case SQLITE_CANTOPEN:
      return environment_error(
          "the ledger cannot be opened", place,
          "check that its folder is there, and that you may read the file and write into the folder");
    case SQLITE_IOERR:
      return environment_error(fmt::format("the disk gave an error ({}); nothing was changed", message), place,
                               "check the disk or the connection to it, then repeat");
    case SQLITE_NOMEM:
      return environment_error("not enough memory", place, "close other programs and repeat");
    case SQLITE_NOTADB:
      return data_error("this is not a ledger", place, "name the collection's .ledger file");
    case SQLITE_CORRUPT:
      return data_error(fmt::format("the ledger file is damaged ({})", message), place,
                        "work on with the last backup, and keep this file for a specialist");
    default:
      return internal_error(fmt::format("the ledger refused an operation: {} (SQLite {})", message, code));
  }
}

// SQLite counts every allocation under a lock unless it is told, before its first use, that nobody asks. Where
// somebody was here before, it counts.
void leave_memory_uncounted() {
  static const int k_told = sqlite3_config(SQLITE_CONFIG_MEMSTATUS, 0);
  (void)k_told;
}

// A program that was killed in the middle of an act leaves a journal beside the ledger. SQLite undoes the half act when
// the file is next read, and must write for that. Where it cannot write, the reading that follows says so.
void undo_what_was_cut_off(const std::filesystem::path& file) {
  std::filesystem::path journal = file;
  journal += "-journal";
  std::error_code none;
  if (!std::filesystem::exists(journal, none) || ::access(file.c_str(), W_OK) != 0) return;
  Database database{file, Database::Mode::write};
  (void)database.find_integer("PRAGMA user_version");
}

}  // namespace

Statement::Statement(Database& database, sqlite3_stmt* handle, std::string_view sql)
    : database_(&database), handle_(handle), sql_(sql) {}

Statement::Statement(Statement&& other) noexcept
    : database_(other.database_), handle_(other.handle_), sql_(other.sql_), copy_text_(other.copy_text_) {
  other.handle_ = nullptr;
}

Statement::~Statement() {
  if (handle_ == nullptr) return;
  sqlite3_reset(handle_);
  sqlite3_clear_bindings(handle_);
  if (sql_.empty())
    sqlite3_finalize(handle_);
  else
    database_->give_back(sql_, handle_);
}

bool Statement::step() {
  const int code = sqlite3_step(handle_);
  if (code == SQLITE_ROW) return true;
  if (code != SQLITE_DONE) database_->fail(code);
  return false;
}

void Statement::reset() { sqlite3_reset(handle_); }

void Statement::bind(int index, std::int64_t value) {
  const int code = sqlite3_bind_int64(handle_, index, value);
  if (code != SQLITE_OK) database_->fail(code);
}

void Statement::bind(int index, double value) {
  const int code = sqlite3_bind_double(handle_, index, value);
  if (code != SQLITE_OK) database_->fail(code);
}

void Statement::bind(int index, std::string_view value) {
  const char* data = value.data() == nullptr ? "" : value.data();
  const int code = sqlite3_bind_text64(handle_, index, data, value.size(),
                                       copy_text_ ? SQLITE_TRANSIENT : SQLITE_STATIC, SQLITE_UTF8);
  if (code != SQLITE_OK) database_->fail(code);
}

void Statement::bind(int index, std::nullptr_t) {
  const int code = sqlite3_bind_null(handle_, index);
  if (code != SQLITE_OK) database_->fail(code);
}

int Statement::columns() const { return sqlite3_column_count(handle_); }
bool Statement::is_null(int column) const { return sqlite3_column_type(handle_, column) == SQLITE_NULL; }
std::int64_t Statement::integer(int column) const { return sqlite3_column_int64(handle_, column); }
double Statement::decimal(int column) const { return sqlite3_column_double(handle_, column); }

std::string_view Statement::view(int column) const {
  const auto* text = reinterpret_cast<const char*>(sqlite3_column_text(handle_, column));
  if (text == nullptr) return {};
  return {text, static_cast<std::size_t>(sqlite3_column_bytes(handle_, column))};
}

std::optional<std::int64_t> Statement::maybe_integer(int column) const {
  if (is_null(column)) return std::nullopt;
  return integer(column);
}

std::optional<double> Statement::maybe_decimal(int column) const {
  if (is_null(column)) return std::nullopt;
  return decimal(column);
}

std::string Statement::column_name(int column) const { return sqlite3_column_name(handle_, column); }

std::string Statement::tagged(int column) const {
  switch (sqlite3_column_type(handle_, column)) {
    case SQLITE_INTEGER:
      return fmt::format("i{}", integer(column));
    case SQLITE_FLOAT:
      return fmt::format("r{}", decimal(column));
    case SQLITE_NULL:
      return "n";
    default:
      return fmt::format("t{}", view(column));
  }
}

Database::Database(const std::filesystem::path& file, Mode mode) : file_(file) {
  leave_memory_uncounted();
  if (mode == Mode::read) undo_what_was_cut_off(file);
  int flags = SQLITE_OPEN_READONLY;
  if (mode == Mode::write) flags = SQLITE_OPEN_READWRITE;
  if (mode == Mode::create || mode == Mode::temporary) flags = SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE;
  const std::string name = mode == Mode::temporary ? std::string{} : file.string();
  if (mode == Mode::write) kept_journal_ = std::make_unique<KeptJournal>();
  const int code = sqlite3_open_v2(name.c_str(), &handle_, flags | SQLITE_OPEN_EXRESCODE | SQLITE_OPEN_NOMUTEX,
                                   kept_journal_ ? kept_journal_->disk_name() : nullptr);
  if (code != SQLITE_OK) {
    const Error error = translate(code, sqlite3_errstr(code), file_);
    sqlite3_close(handle_);
    throw error;
  }
  sqlite3_busy_timeout(handle_, k_busy_wait_ms);
  // A ledger may come from anybody: its schema is data, never trusted code.
  sqlite3_db_config(handle_, SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
  sqlite3_db_config(handle_, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, nullptr);
  sqlite3_limit(handle_, SQLITE_LIMIT_LENGTH, k_longest_value_bytes);
}

Database::~Database() {
  for (auto& [sql, handles] : idle_)
    for (sqlite3_stmt* handle : handles) sqlite3_finalize(handle);
  sqlite3_close(handle_);
}

void Database::keep_journal() {
  execute(fmt::format("PRAGMA journal_size_limit = {}; PRAGMA journal_mode = PERSIST", k_longest_kept_journal_bytes));
}

void Database::journal_is_kept() { kept_journal_->set_durable(true); }

void Database::remove_journal() {
  kept_journal_->set_durable(false);
  execute("PRAGMA journal_mode = DELETE");
}

void Database::execute(const std::string& script) {
  const int code = sqlite3_exec(handle_, script.c_str(), nullptr, nullptr, nullptr);
  if (code != SQLITE_OK) fail(code);
}

sqlite3_stmt* Database::compile(std::string_view sql, bool keep) const {
  sqlite3_stmt* handle = nullptr;
  const int code = sqlite3_prepare_v3(handle_, sql.data(), static_cast<int>(sql.size()),
                                      keep ? SQLITE_PREPARE_PERSISTENT : 0, &handle, nullptr);
  if (code != SQLITE_OK) fail(code);
  return handle;
}

Statement Database::prepare(std::string_view sql) {
  auto found = idle_.find(sql);
  if (found == idle_.end()) found = idle_.emplace(sql, std::vector<sqlite3_stmt*>{}).first;
  auto& [text, idle] = *found;  // the caller's text may be gone when the statement is given back
  if (idle.empty()) return {*this, compile(text, true), text};
  sqlite3_stmt* handle = idle.back();
  idle.pop_back();
  return {*this, handle, text};
}

Statement Database::prepare_once(const std::string& sql) { return {*this, compile(sql, false), {}}; }

void Database::give_back(std::string_view sql, sqlite3_stmt* handle) { idle_.find(sql)->second.push_back(handle); }

std::int64_t Database::last_id() const { return sqlite3_last_insert_rowid(handle_); }
std::int64_t Database::changes() const { return sqlite3_changes64(handle_); }
bool Database::in_transaction() const { return sqlite3_get_autocommit(handle_) == 0; }

void Database::fail(int code) const { throw translate(code, sqlite3_errmsg(handle_), file_); }

void Database::copy_to(const std::filesystem::path& target) {
  Database copy{target, Mode::create};
  sqlite3_backup* backup = sqlite3_backup_init(copy.handle_, "main", handle_, "main");
  if (backup == nullptr) copy.fail(sqlite3_errcode(copy.handle_));
  const int code = sqlite3_backup_step(backup, -1);
  sqlite3_backup_finish(backup);
  if (code != SQLITE_DONE) throw translate(code, sqlite3_errstr(code), target);
}

Transaction::Transaction(Database& database) : database_(database), within_(database.in_transaction()) {
  if (!within_) database_.execute("BEGIN IMMEDIATE");
}

// A part that was not committed takes the whole with it: SQLite is out of the transaction, and the outer commit fails.
Transaction::~Transaction() {
  if (!open_ || !database_.in_transaction()) return;
  try {
    database_.execute("ROLLBACK");
  } catch (const Error&) {  // the connection is lost; SQLite rolls back when the file is opened again
    open_ = false;
  }
}

void Transaction::commit() {
  if (!within_) database_.execute("COMMIT");
  open_ = false;
}

UncheckedReferences::UncheckedReferences(Database& database) : database_(database) {
  database_.execute("PRAGMA foreign_keys = OFF");
}

UncheckedReferences::~UncheckedReferences() {
  try {
    database_.execute("PRAGMA foreign_keys = ON");
  } catch (const Error&) {  // the connection is lost, and with it the setting
  }
}

void check_references(Database& database, const std::vector<std::string>& tables) {
  for (const std::string& table : tables) {
    Statement missing = database.prepare_once("PRAGMA foreign_key_check(" + table + ")");
    if (missing.step()) throw internal_error("a row of " + table + " points at a missing row of " + missing.text(2));
  }
}

BulkInsert::BulkInsert(Database& database, std::string_view insert, std::size_t columns, std::string_view lasting)
    : database_(database), insert_(insert), columns_(columns), lasting_(lasting) {}

std::string BulkInsert::sql_for(std::size_t rows) const {
  std::string row = "(?";
  for (std::size_t column = 1; column < columns_; ++column) row += ",?";
  row += ')';
  std::string sql = insert_ + row;
  for (std::size_t n = 1; n < rows; ++n) sql += "," + row;
  return sql;
}

bool BulkInsert::is_lasting(std::string_view text) const {
  const std::less_equal<const char*> not_after;
  return not_after(lasting_.data(), text.data()) &&
         not_after(text.data() + text.size(), lasting_.data() + lasting_.size());
}

void BulkInsert::begin(std::size_t rows) {
  bound_ = 0;
  const bool whole = rows == k_rows;
  std::optional<Statement>& statement = whole ? whole_ : rest_;
  in_current_ = whole ? &in_whole_ : &in_rest_;
  if (!whole || !statement) {
    statement.reset();
    statement.emplace(database_.prepare_once(sql_for(rows)));
    in_current_->assign(rows * columns_, {});
  }
  current_ = &*statement;
}

bool BulkInsert::is_bound(const Bound& value) {
  Bound& bound = (*in_current_)[static_cast<std::size_t>(bound_++)];
  if (bound == value) return true;
  bound = value;
  return false;
}

void BulkInsert::bind(std::int64_t value) {
  if (!is_bound({.kind = Bound::Kind::integer, .integer = value})) current_->bind(bound_, value);
}

void BulkInsert::bind(double value) {
  next_is_new();
  current_->bind(bound_, value);
}

void BulkInsert::bind_null() {
  if (!is_bound({.kind = Bound::Kind::null})) current_->bind(bound_, nullptr);
}

void BulkInsert::bind(std::string_view value) {
  if (is_lasting(value)) return add_lasting(value);
  next_is_new();
  current_->copy_text_ = true;
  current_->bind(bound_, value);
}

void BulkInsert::add_kept(std::string_view text) {
  next_is_new();
  current_->copy_text_ = false;
  current_->bind(bound_, text);
}

void BulkInsert::add_lasting(std::string_view text) {
  if (is_bound({.kind = Bound::Kind::text, .text = text})) return;
  current_->copy_text_ = false;
  current_->bind(bound_, text);
}

void BulkInsert::run() {
  while (current_->step()) {
  }
  current_->reset();
}

Snapshot::Snapshot(Database& database) : database_(database), open_(!database.in_transaction()) {
  if (open_) database_.execute("BEGIN");
}

Snapshot::~Snapshot() {
  if (!open_ || !database_.in_transaction()) return;
  try {
    database_.execute("COMMIT");
  } catch (const Error&) {  // nothing was written: the end of the connection ends it too
    open_ = false;
  }
}

}  // namespace sherdmark
