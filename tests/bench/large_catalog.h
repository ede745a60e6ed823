// An invented catalog of any length, in the columns of the Quillow Ferry standard; what the benchmarks read and take
// in.
#pragma once

#include <string>

namespace sherdmark::testing {

inline std::string large_catalog(int rows) {
  std::string text = "Cat. No.,Acc #,Site,Type,Description,Material,Qty,Wt (g),Max Dim (mm),Bag(s),Unit,Date Exc.\r\n";
  for (int i = 0; i < rows; ++i) {
    const std::string lot = std::to_string(i / 400 + 1);
    text += "16ZQ5/" + lot + "." + std::to_string(i % 400 + 1) + ",2031.4,16ZQ5,artifact,body sherd,ceramic," +
            std::to_string(i % 9 + 1) + "," + std::to_string(i % 700) + ".5," + std::to_string(i % 90 + 5) + ",B" +
            std::to_string(i) + ",N20E" + std::to_string(i / 400) + ",2031-03-1" + std::to_string(i / 400 % 10) +
            "\r\n";
  }
  return text;
}

}  // namespace sherdmark::testing
