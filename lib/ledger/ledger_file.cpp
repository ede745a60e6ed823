#include "sherdmark/ledger/ledger_file.h"

#include <array>
#include <fstream>
#include <string_view>
#include <system_error>

namespace sherdmark {

bool looks_like_a_ledger(const std::filesystem::path& file) {
  using namespace std::string_view_literals;
  constexpr std::string_view k_magic = "SQLite format 3\0"sv;
  std::error_code none;
  if (!std::filesystem::is_regular_file(file, none)) return false;  // a pipe would keep us waiting
  std::array<char, k_magic.size()> first{};
  std::ifstream in{file, std::ios::binary};
  return in.read(first.data(), first.size()) && std::string_view{first.data(), first.size()} == k_magic;
}

}  // namespace sherdmark
