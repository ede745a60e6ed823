// JSON documents of the reports: values put together in the order they are to stand, then written. Private to report;
// no library behind it, so that every report may use it.
#pragma once

#include <concepts>
#include <cstdint>
#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

namespace sherdmark {

class JsonValue {
 public:
  using Array = std::vector<JsonValue>;
  using Object = std::vector<std::pair<std::string, JsonValue>>;  // in the order the keys came

  JsonValue() = default;                    // null
  JsonValue(std::nullptr_t) {}              // NOLINT(google-explicit-constructor)
  JsonValue(bool value) : value_(value) {}  // NOLINT(google-explicit-constructor)
  template <std::integral T>
  requires(!std::same_as<T, bool>) JsonValue(T value)
      : value_(static_cast<std::int64_t>(value)) {}                  // NOLINT(google-explicit-constructor)
  JsonValue(double value) : value_(value) {}                         // NOLINT(google-explicit-constructor)
  JsonValue(std::string value) : value_(std::move(value)) {}         // NOLINT(google-explicit-constructor)
  JsonValue(std::string_view value) : value_(std::string{value}) {}  // NOLINT(google-explicit-constructor)
  JsonValue(const char* value) : value_(std::string{value}) {}       // NOLINT(google-explicit-constructor)
  template <typename T>
  JsonValue(const std::optional<T>& value) {  // NOLINT(google-explicit-constructor)
    if (value) *this = JsonValue{*value};
  }
  template <typename T>
  JsonValue(const std::vector<T>& values) : value_(Array{}) {  // NOLINT(google-explicit-constructor)
    for (const T& value : values) push_back(JsonValue(value));
  }

  JsonValue(std::initializer_list<std::pair<std::string_view, JsonValue>> members) : JsonValue(object(members)) {}

  [[nodiscard]] static JsonValue array() { return JsonValue{Array{}}; }
  [[nodiscard]] static JsonValue object(std::initializer_list<std::pair<std::string_view, JsonValue>> members = {});

  [[nodiscard]] static JsonValue list(std::initializer_list<JsonValue> values);

  // The member of that name; a new one at the end if there is none. A null becomes an object.
  JsonValue& operator[](std::string_view key);
  void push_back(JsonValue value);  // a null becomes an array

  void update(const JsonValue& other);  // takes over the members of another object, in its order

  // All on one line, and a line end: for logs that are read line by line.
  [[nodiscard]] std::string line() const;
  // Two spaces a level, one line end at the end. Bytes that are no UTF-8 become U+FFFD.
  [[nodiscard]] std::string document() const;

 private:
  explicit JsonValue(Array values) : value_(std::move(values)) {}
  explicit JsonValue(Object members) : value_(std::move(members)) {}
  void write(std::string& out, std::optional<std::size_t> depth) const;

  std::variant<std::nullptr_t, bool, std::int64_t, double, std::string, Array, Object> value_;
};

}  // namespace sherdmark
