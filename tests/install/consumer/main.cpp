// A program outside the project, which knows nothing but the installed headers and targets.
#include <iostream>

#include "sherdmark/base/text.h"
#include "sherdmark/code/link_code.h"
#include "sherdmark/verify/judge.h"

int main() {
  const sherdmark::LinkReading reading =
      sherdmark::parse_code_text(sherdmark::write_micro_code({.number = "16WC5/1/1"}));
  std::cout << sherdmark::to_upper_ascii("16wc5") << ' ' << sherdmark::to_text(sherdmark::Verdict::agree) << ' '
            << (reading.status == sherdmark::LinkStatus::ours ? "ours" : "not ours") << '\n';
  return 0;
}
