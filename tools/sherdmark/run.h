// The whole tool as one function, so that tests can call it in-process. main.cpp does nothing but call it.
#pragma once

#include <iosfwd>
#include <map>
#include <string>
#include <vector>

#include "sherdmark/base/clock.h"
#include "sherdmark/base/files.h"
#include "sherdmark/base/random.h"

namespace sherdmark {

// Everything through which the tool touches the world.
struct Seams {
  std::istream& in;
  std::ostream& out;
  std::ostream& err;
  Clock& clock;
  RandomSource& random;
  FileSystem& files;
};

struct Environment {
  std::map<std::string, std::string> variables;  // SHERDMARK_BY, SHERDMARK_LEDGER
  bool in_is_terminal = false;                   // only then are the daily jobs offered
  bool err_is_terminal = false;                  // a progress bar is shown only then
  std::string machine;                           // this_machine(), or a fixed text in tests
  unsigned workers = 0;                          // threads; 0: as many as the machine has
};

// `arguments` without the program's name. Returns the exit code (docs/formats/exit-codes.md); throws nothing.
int run_sherdmark(const std::vector<std::string>& arguments, const Seams& seams, const Environment& environment);

}  // namespace sherdmark
