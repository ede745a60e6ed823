#include <unistd.h>

#include <array>
#include <fstream>
#include <string>

#include "sherdmark/base/text.h"
#include "sherdmark/ledger/machine.h"

namespace sherdmark {

std::string this_machine() {
  std::array<char, 256> host{};
  if (::gethostname(host.data(), host.size() - 1) != 0) host[0] = '\0';
  std::string id;
  std::ifstream file{"/etc/machine-id"};
  std::getline(file, id);
  return std::string{host.data()} + "/" + std::string{trim(id)};
}

}  // namespace sherdmark
