#include <unistd.h>

#include <cstdlib>
#include <iostream>

#include "run.h"
#include "sherdmark/base/heap.h"
#include "sherdmark/ledger/machine.h"

int main(int argc, char** argv) {
  sherdmark::take_memory_in_large_pages();
  std::ios::sync_with_stdio(false);
  sherdmark::SystemClock clock;
  sherdmark::SystemRandom random;
  sherdmark::Environment environment;
  for (const char* name : {"SHERDMARK_BY", "SHERDMARK_LEDGER"})
    if (const char* value = std::getenv(name)) environment.variables[name] = value;
  environment.in_is_terminal = ::isatty(STDIN_FILENO) != 0 && ::isatty(STDOUT_FILENO) != 0;
  environment.err_is_terminal = ::isatty(STDERR_FILENO) != 0;
  environment.machine = sherdmark::this_machine();
  return sherdmark::run_sherdmark({argv + 1, argv + argc},
                                  {std::cin, std::cout, std::cerr, clock, random, sherdmark::real_file_system()},
                                  environment);
}
