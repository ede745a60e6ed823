// A long list as the last member of a JSON document, written entry by entry, so that it need not be in memory. Private
// to the sheets.
#pragma once

#include <cstddef>
#include <functional>
#include <span>
#include <string>
#include <string_view>

#include "sherdmark/base/files.h"

namespace sherdmark {

// Text that goes on to the sink in pieces of some size.
class JsonPieces {
 public:
  explicit JsonPieces(const ByteSink& sink) : sink_(sink) {}
  void add(std::string_view text) {
    text_ += text;
    if (text_.size() >= k_piece_bytes) flush();
  }
  void flush() {
    sink_(as_byte_span(text_));
    text_.clear();
  }

 private:
  static constexpr std::size_t k_piece_bytes = 1U << 16U;
  const ByteSink& sink_;
  std::string text_;
};

// A list as a member of a document's first level, one space a level. `entry`: the JSON of one, as if it stood alone.
inline void add_json_list(JsonPieces& out, std::size_t count, const std::function<std::string(std::size_t)>& entry) {
  if (count == 0) return out.add("[]");
  out.add("[");
  for (std::size_t i = 0; i < count; ++i) {
    std::string text = i == 0 ? "\n  " : ",\n  ";
    for (const char c : entry(i)) {
      text += c;
      if (c == '\n') text += "  ";  // no text of an entry holds one: it would be escaped
    }
    out.add(text);
  }
  out.add("\n ]");
}

// What is written to a sink, as one text.
inline std::string text_of(const std::function<void(const ByteSink&)>& write) {
  std::string text;
  write([&text](std::span<const std::byte> some) {
    text.append(reinterpret_cast<const char*>(some.data()), some.size());
  });
  return text;
}

}  // namespace sherdmark
