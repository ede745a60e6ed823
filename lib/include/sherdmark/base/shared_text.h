// A text that many values hold alike, such as the site in every row of a catalog: one pointer, and copies share what it
// points at. Never changed, only replaced. Copies may be made and dropped by several threads at once. Callable from
// anywhere.
#pragma once

#include <atomic>
#include <compare>
#include <concepts>
#include <cstddef>
#include <cstdint>
#include <iosfwd>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>

namespace sherdmark {

class SharedText;
template <typename Text>
concept OtherText = std::convertible_to<const Text&, std::string_view> && !std::same_as<Text, SharedText>;

class SharedText {
 public:
  SharedText() = default;
  template <OtherText Text>
  SharedText(const Text& text)  // NOLINT(google-explicit-constructor): a text is a text
      : SharedText(copy_of(std::string_view{text})) {}
  SharedText(const SharedText& other) noexcept : block_(other.block_) {
    if (block_ != nullptr) block_->owners.fetch_add(1, std::memory_order_relaxed);
  }
  SharedText(SharedText&& other) noexcept : block_(std::exchange(other.block_, nullptr)) {}
  SharedText& operator=(SharedText other) noexcept {
    std::swap(block_, other.block_);
    return *this;
  }
  ~SharedText() {
    if (block_ != nullptr && block_->owners.fetch_sub(1, std::memory_order_acq_rel) == 1) destroy(block_);
  }

  [[nodiscard]] bool empty() const noexcept { return block_ == nullptr; }
  [[nodiscard]] std::size_t size() const noexcept { return block_ == nullptr ? 0 : block_->size; }
  [[nodiscard]] std::string_view view() const noexcept {
    return block_ == nullptr ? std::string_view{} : std::string_view{block_->text(), block_->size};
  }
  [[nodiscard]] std::string str() const { return std::string{view()}; }
  operator std::string_view() const noexcept { return view(); }  // NOLINT(google-explicit-constructor)

  friend bool operator==(const SharedText& a, const SharedText& b) noexcept {
    return a.block_ == b.block_ || a.view() == b.view();
  }
  template <OtherText Text>
  friend bool operator==(const SharedText& a, const Text& b) {
    return a.view() == std::string_view{b};
  }
  friend std::strong_ordering operator<=>(const SharedText& a, const SharedText& b) noexcept {
    return a.view() <=> b.view();
  }
  friend std::ostream& operator<<(std::ostream& out, const SharedText& text);

 private:
  struct Block {  // its text lies behind it
    std::atomic<std::uint32_t> owners;
    std::uint32_t size;
    [[nodiscard]] const char* text() const { return reinterpret_cast<const char*>(this + 1); }
  };

  explicit SharedText(Block* block) noexcept : block_(block) {}
  // Null for the empty text. Throws std::length_error over 4 GB.
  [[nodiscard]] static Block* copy_of(std::string_view text);
  static void destroy(Block* block) noexcept;

  Block* block_ = nullptr;
};

}  // namespace sherdmark
