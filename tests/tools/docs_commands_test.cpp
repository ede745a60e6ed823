// Every command that the documents show in a block of its own is understood by the tool as it is now.
#include <gtest/gtest.h>

#include <sstream>

#include "commands.h"
#include "tools/bench.h"
#include "tools/shown_commands.h"

namespace sherdmark::testing {
namespace {

TEST(Documents, show_only_commands_that_the_tool_understands) {
  std::istringstream in;
  std::ostringstream out;
  FixedClock clock{parse_time("2031-05-04T09:00:00Z")};
  SeededRandom random{1};
  const Seams seams{in, out, out, clock, random, real_file_system()};
  const Environment environment;
  const Session session{seams, environment};
  const CommandLine line = whole_command_line(session);
  const std::vector<ShownCommand> commands = all_shown_commands();
  ASSERT_GT(commands.size(), 15U) << "the documents show commands in blocks";
  for (const ShownCommand& command : commands) {
    const ParsedCommandLine parsed = parse_command_line(line, command.arguments);
    EXPECT_TRUE(parsed.act) << command.where << ": " << parsed.err;
  }
}

TEST(Documents, a_command_nobody_knows_would_be_noticed) {
  EXPECT_EQ(shell_words("sherdmark register \"M. Oduya\" --by 'R. Quill'   # another"),
            (std::vector<std::string>{"sherdmark", "register", "M. Oduya", "--by", "R. Quill"}));
  Bench bench;
  (void)bench.expect(2, {"labels", "--for-everything"});
}

}  // namespace
}  // namespace sherdmark::testing
