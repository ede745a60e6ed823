// XML element by element, without ever holding the document. Called by the .xlsx reader.
#pragma once

#include <functional>
#include <map>
#include <memory>
#include <string>
#include <string_view>

namespace sherdmark {

// The attributes of one element, valid during the call.
class XmlAttributes {
 public:
  explicit XmlAttributes(const char** pairs) : pairs_(pairs) {}
  // Empty when absent. Names are compared without their namespace prefix.
  [[nodiscard]] std::string_view get(std::string_view name) const;

 private:
  const char** pairs_;
};

// Element names come without their namespace prefix. Calls may throw; the exception leaves feed().
struct XmlHandler {
  std::function<void(std::string_view name, const XmlAttributes& attributes)> open;
  std::function<void(std::string_view name)> close;
  std::function<void(std::string_view text)> text;
};

class XmlStream {
 public:
  // `part` and `file_name` are for messages.
  XmlStream(XmlHandler handler, std::string part, std::string file_name);
  ~XmlStream();
  XmlStream(const XmlStream&) = delete;
  XmlStream& operator=(const XmlStream&) = delete;
  XmlStream(XmlStream&&) = delete;
  XmlStream& operator=(XmlStream&&) = delete;

  // Throws data_error when the XML is broken, declares entities (no workbook does), or nests deeper than 64.
  void feed(std::string_view bytes);
  void finish();

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace sherdmark
