#include "sherdmark/base/late_library.h"

#include <dlfcn.h>
#include <fmt/format.h>

#include <utility>

#include "sherdmark/base/error.h"

namespace sherdmark {

LateLibrary::LateLibrary(std::string name, std::string use, std::string remedy)
    : name_(std::move(name)),
      use_(std::move(use)),
      remedy_(std::move(remedy)),
      library_(::dlopen(name_.c_str(), RTLD_NOW | RTLD_LOCAL)) {}

void* LateLibrary::address_of(const char* function) const {
  void* found = library_ == nullptr ? nullptr : ::dlsym(library_, function);
  if (found == nullptr)
    throw environment_error(fmt::format("{} with {}, which cannot be opened here.", use_, name_), {}, remedy_);
  return found;
}

}  // namespace sherdmark
