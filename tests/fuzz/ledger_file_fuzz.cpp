// Any bytes as a ledger file: it is refused with an error that names it, or opened, looked through and judged.
#include <cstdint>
#include <cstdlib>
#include <fstream>

#include "sherdmark/base/error.h"
#include "sherdmark/ledger/ledger.h"
#include "sherdmark/ledger/proof.h"
#include "support/test_support.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const sherdmark::testing::ScratchFolder folder;
  const std::filesystem::path file = folder / "fuzz.ledger";
  std::ofstream{file, std::ios::binary | std::ios::trunc}.write(reinterpret_cast<const char*>(data),
                                                                static_cast<std::streamsize>(size));
  try {
    (void)sherdmark::prove_ledger(file, {});
    const sherdmark::Ledger ledger = sherdmark::Ledger::open_read_only(file);
    (void)ledger.history("");
    (void)ledger.items();
    (void)ledger.bags();
    (void)ledger.heads();
  } catch (const sherdmark::Error& error) {
    if (error.family() == sherdmark::ErrorFamily::usage) std::abort();
  }
  return 0;
}
