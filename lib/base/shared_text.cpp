#include "sherdmark/base/shared_text.h"

#include <cstring>
#include <limits>
#include <new>
#include <ostream>
#include <stdexcept>

namespace sherdmark {

SharedText::Block* SharedText::copy_of(std::string_view text) {
  if (text.empty()) return nullptr;
  if (text.size() > std::numeric_limits<std::uint32_t>::max()) throw std::length_error("SharedText");
  void* place = ::operator new(sizeof(Block) + text.size());
  auto* block = new (place) Block{.owners = 1, .size = static_cast<std::uint32_t>(text.size())};
  std::memcpy(static_cast<char*>(place) + sizeof(Block), text.data(), text.size());
  return block;
}

void SharedText::destroy(Block* block) noexcept {
  block->~Block();
  ::operator delete(block);
}

std::ostream& operator<<(std::ostream& out, const SharedText& text) { return out << text.view(); }

}  // namespace sherdmark
