#include "sherdmark/base/late_library.h"

#include <gtest/gtest.h>

#include <cstdlib>

#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

std::string trouble_with(const std::string& library, const char* function) {
  try {
    (void)LateLibrary{library, "Pots are counted", "Install it."}.find<void (*)()>(function);
  } catch (const Error& error) {
    return std::to_string(error.exit_code()) + " " + error.what();
  }
  return "none";
}

TEST(LateLibrary, gives_a_function_that_works) {
  const LateLibrary library{"libc.so.6", "Numbers are made positive", "Install it."};
  EXPECT_EQ(library.find<decltype(static_cast<long (*)(long)>(std::labs))>("labs")(-7), 7);
}

TEST(LateLibrary, that_is_missing_says_what_for_and_what_to_do) {
  EXPECT_EQ(trouble_with("libnowhere.so.1", "count_pots"),
            "4 Pots are counted with libnowhere.so.1, which cannot be opened here. Install it.");
}

TEST(LateLibrary, without_the_function_is_as_good_as_missing) {
  EXPECT_EQ(trouble_with("libc.so.6", "count_pots"),
            "4 Pots are counted with libc.so.6, which cannot be opened here. Install it.");
}

}  // namespace
}  // namespace sherdmark
