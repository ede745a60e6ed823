#include "catalog/xml_stream.h"

#include <expat.h>
#include <fmt/format.h>

#include <cstdint>
#include <exception>
#include <new>
#include <utility>

#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

constexpr int k_deepest = 64;
// The parser holds an unfinished tag in memory and looks at it again with every piece; no tag of a workbook is so long.
constexpr std::uint64_t k_longest_tag_bytes = std::uint64_t{1} << 20U;

std::string_view local_name(std::string_view name) {
  const std::size_t colon = name.rfind(':');
  return colon == std::string_view::npos ? name : name.substr(colon + 1);
}

}  // namespace

std::string_view XmlAttributes::get(std::string_view name) const {
  for (const char** pair = pairs_; *pair != nullptr; pair += 2)
    if (local_name(pair[0]) == name) return pair[1];
  return {};
}

struct XmlStream::Impl {
  XmlHandler handler;
  std::string part;
  std::string file_name;
  XML_Parser parser = nullptr;
  int depth = 0;
  std::uint64_t fed = 0;
  std::exception_ptr thrown{};  // by a handler; it must not travel through C code

  [[nodiscard]] Error broken(std::string_view what) const {
    return data_error(fmt::format("Part \"{}\" of the workbook is damaged: {}.", part, what), {.file = file_name},
                      "Open it in a spreadsheet program and save it again, or take an undamaged copy.");
  }

  template <class Act>
  void guarded(const Act& act) {
    if (thrown) return;
    try {
      act();
    } catch (...) {
      thrown = std::current_exception();
      XML_StopParser(parser, XML_FALSE);
    }
  }

  static Impl& of(void* data) { return *static_cast<Impl*>(data); }
  static void on_open(void* data, const char* name, const char** attributes) {
    Impl& self = of(data);
    self.guarded([&] {
      if (++self.depth > k_deepest) throw self.broken("it nests too deeply");
      if (self.handler.open) self.handler.open(local_name(name), XmlAttributes{attributes});
    });
  }
  static void on_close(void* data, const char* name) {
    Impl& self = of(data);
    self.guarded([&] {
      --self.depth;
      if (self.handler.close) self.handler.close(local_name(name));
    });
  }
  static void on_text(void* data, const char* text, int length) {
    Impl& self = of(data);
    self.guarded([&] {
      if (self.handler.text) self.handler.text({text, static_cast<std::size_t>(length)});
    });
  }
  static void on_entity(void* data, const char*, int, const char*, int, const char*, const char*, const char*,
                        const char*) {
    Impl& self = of(data);
    self.guarded([&] { throw self.broken("it declares entities, which a workbook never does"); });
  }

  void parse(std::string_view bytes, bool last) {
    const XML_Status status = XML_Parse(parser, bytes.data(), static_cast<int>(bytes.size()), last ? 1 : 0);
    if (thrown) std::rethrow_exception(std::exchange(thrown, nullptr));
    if (status == XML_STATUS_ERROR)
      throw broken(
          fmt::format("{} in line {}", XML_ErrorString(XML_GetErrorCode(parser)), XML_GetCurrentLineNumber(parser)));
    fed += bytes.size();
    const XML_Index done = XML_GetCurrentByteIndex(parser);
    if (!last && fed > k_longest_tag_bytes &&
        (done < 0 || fed - static_cast<std::uint64_t>(done) > k_longest_tag_bytes))
      throw broken("one of its tags is far too long");
  }
};

XmlStream::XmlStream(XmlHandler handler, std::string part, std::string file_name) : impl_(std::make_unique<Impl>()) {
  impl_->handler = std::move(handler);
  impl_->part = std::move(part);
  impl_->file_name = std::move(file_name);
  impl_->parser = XML_ParserCreate(nullptr);
  if (impl_->parser == nullptr) throw std::bad_alloc{};
  XML_SetUserData(impl_->parser, impl_.get());
  XML_SetElementHandler(impl_->parser, Impl::on_open, Impl::on_close);
  XML_SetCharacterDataHandler(impl_->parser, Impl::on_text);
  XML_SetEntityDeclHandler(impl_->parser, Impl::on_entity);
}

XmlStream::~XmlStream() { XML_ParserFree(impl_->parser); }

void XmlStream::feed(std::string_view bytes) { impl_->parse(bytes, false); }
void XmlStream::finish() { impl_->parse({}, true); }

}  // namespace sherdmark
