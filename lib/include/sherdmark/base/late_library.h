// A shared library that is opened when its first function is needed, not at every start of the program. For adapters of
// large libraries that few commands need; their headers still give the types. Source of the calls: POSIX.1-2017 dlopen,
// dlsym.
#pragma once

#include <string>

namespace sherdmark {

class LateLibrary {
 public:
  // `name`: as linking would have kept it ("libheif.so.1"). `use`: what it is for, the beginning of a sentence ("HEIC
  // and AVIF pictures are read"). `remedy`: what to do where it cannot be opened. Stays open as long as the program
  // runs.
  LateLibrary(std::string name, std::string use, std::string remedy);

  // The function of that name, with the type that the library's header declares. Throws environment_error when the
  // library or the function is missing.
  template <typename Function>
  [[nodiscard]] Function find(const char* function) const {
    return reinterpret_cast<Function>(address_of(function));
  }

 private:
  [[nodiscard]] void* address_of(const char* function) const;

  std::string name_, use_, remedy_;
  void* library_ = nullptr;
};

}  // namespace sherdmark

// A member `name` of a class that has a LateLibrary `library_`: the library's function of prefix and name together,
// typed as its header declares it. Names that are macros of that header mean what they stand for.
// NOLINTBEGIN(bugprone-macro-parentheses): names, not values
#define SHERDMARK_LATE_QUOTED(name) #name
#define SHERDMARK_LATE_NAME(name) SHERDMARK_LATE_QUOTED(name)
#define SHERDMARK_LATE_FUNCTION(prefix, name) \
  decltype(&::prefix##name) name = library_.find<decltype(&::prefix##name)>(SHERDMARK_LATE_NAME(prefix##name))
// NOLINTEND(bugprone-macro-parentheses)
