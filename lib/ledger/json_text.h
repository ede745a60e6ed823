// The JSON of event payloads: a writer of the one canonical form, and a reader that walks the text without building
// a tree (an intake of 100,000 rows is one payload). Canonical form: docs/formats/ledger.md, "Payloads".
#pragma once

#include <cstdint>
#include <iterator>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace sherdmark {

// Appends canonical JSON. The caller writes object keys in ascending byte order; `key` checks it.
class JsonWriter {
 public:
  JsonWriter& begin_object();
  JsonWriter& end_object();
  JsonWriter& begin_array();
  JsonWriter& end_array();
  JsonWriter& key(std::string_view name);    // throws internal_error when keys are not ascending
  JsonWriter& text(std::string_view value);  // bytes that are no UTF-8 become visible escapes (\xNN)
  JsonWriter& integer(std::int64_t value);
  JsonWriter& decimal(double value);  // shortest text that reads back to the same value
  JsonWriter& boolean(bool value);
  JsonWriter& null();
  JsonWriter& raw(std::string_view json);  // already canonical
  JsonWriter& maybe(const std::optional<std::int64_t>& value) { return value ? integer(*value) : null(); }
  JsonWriter& maybe(const std::optional<double>& value) { return value ? decimal(*value) : null(); }
  [[nodiscard]] const std::string& str() const { return out_; }
  [[nodiscard]] std::string take() { return std::move(out_); }
  void reserve(std::size_t bytes) { out_.reserve(bytes); }

 private:
  void before_value() {
    if (!fresh_) out_ += ',';
    fresh_ = false;
  }

  std::string out_;
  std::string keys_;  // stack of the last key of each open object, separated by NUL
  bool fresh_ = true;
};

// A value inside a JSON text, as it stands there. Reading one of the wrong type, or broken text, throws data_error.
class JsonView {
 public:
  explicit JsonView(std::string_view raw) : raw_(raw) {}

  [[nodiscard]] std::string_view raw() const { return raw_; }
  [[nodiscard]] bool is_null() const { return raw_ == "null"; }
  [[nodiscard]] bool is_text() const { return !raw_.empty() && raw_.front() == '"'; }
  [[nodiscard]] bool is_array() const { return !raw_.empty() && raw_.front() == '['; }
  [[nodiscard]] std::string text() const;
  // The text without a copy when it holds no escape, else unescaped into `space`.
  [[nodiscard]] std::string_view text(std::string& space) const;
  [[nodiscard]] std::int64_t integer() const;
  [[nodiscard]] double decimal() const;
  [[nodiscard]] bool boolean() const;
  [[nodiscard]] std::optional<std::int64_t> maybe_integer() const;
  [[nodiscard]] std::optional<double> maybe_decimal() const;
  // Member of an object; throws when it is missing.
  [[nodiscard]] JsonView at(std::string_view key) const;
  [[nodiscard]] std::optional<JsonView> find(std::string_view key) const;
  // All members of an object, in order: name and value. Names are as they stand, without unescaping.
  [[nodiscard]] std::vector<std::pair<std::string_view, JsonView>> members() const;

  // Walks the elements of an array: `while (auto element = walk.next())`.
  class Walk {
   public:
    explicit Walk(std::string_view rest) : at_(rest.data()), end_(rest.data() + rest.size()) {}
    [[nodiscard]] std::optional<JsonView> next();
    [[nodiscard]] JsonView need();  // throws when there is no further element
    // Steps into the next element, which is an array, instead of over it, so that its text is walked only once; `leave`
    // goes on behind it with what `enter` gave, once that has come to its end.
    [[nodiscard]] std::optional<Walk> enter();
    void leave(const Walk& inner);

   private:
    [[nodiscard]] bool to_next();  // at the next element; false at the end of the list

    const char* at_;  // behind the last element
    const char* end_;
    bool first_ = true;
  };
  [[nodiscard]] Walk elements() const;

 private:
  std::string_view raw_;
};

// An object whose members were found once: for payloads whose lists are long.
class JsonObject {
 public:
  explicit JsonObject(const JsonView& object) : raw_(object.raw()), members_(object.members()) {}
  [[nodiscard]] const JsonView& at(std::string_view key) const;  // throws when it is missing
  [[nodiscard]] std::string_view raw() const { return raw_; }

 private:
  std::string_view raw_;
  std::vector<std::pair<std::string_view, JsonView>> members_;
};

}  // namespace sherdmark
