// Manual page, completions, help and docs come from one table of options, and none lacks one. Judged by groff, bash,
// zsh and fish themselves.
#include <gtest/gtest.h>

#include <sstream>

#include "commands.h"
#include "tools/bench.h"

namespace sherdmark::testing {
namespace {

std::vector<DeclaredCommand> all_commands() {
  std::istringstream in;
  std::ostringstream out;
  FixedClock clock{parse_time("2031-05-04T09:00:00Z")};
  SeededRandom random{1};
  const Seams seams{in, out, out, clock, random, real_file_system()};
  const Environment environment;
  const Session session{seams, environment};
  return declared_commands(whole_command_line(session));
}

std::string described(const std::string& form) {
  Bench bench;
  return bench.expect(0, {"describe", form}).out;
}

// From "## name" (several names may share a heading) to the next heading.
std::string section_of(const std::string& docs, const std::string& command) {
  std::istringstream lines{docs};
  std::string line;
  std::string section;
  bool inside = false;
  while (std::getline(lines, line)) {
    if (line.starts_with("## ")) {
      inside = false;
      for (std::size_t at = 3; at < line.size();) {
        const std::size_t end = std::min(line.find(", ", at), line.size());
        inside = inside || line.substr(at, end - at) == command;
        at = end + 2;
      }
    }
    if (inside) section += line + "\n";
  }
  return section;
}

bool names_option(const std::string& text, const std::string& name) {
  const auto is_name = [](char c) { return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '-'; };
  for (std::size_t at = text.find(name); at != std::string::npos; at = text.find(name, at + 1))
    if (at + name.size() == text.size() || !is_name(text[at + name.size()])) return true;
  return false;
}

TEST(Describe, the_commands_page_has_a_section_for_every_command_and_names_every_option) {
  const std::string docs = read_text(real_file_system(), source_dir() / "docs/commands.md");
  const std::string shared = docs.substr(0, docs.find("\n## "));
  for (const DeclaredCommand& command : all_commands()) {
    const std::string section = section_of(docs, command.name);
    EXPECT_NE(section, "") << "docs/commands.md has no section \"" << command.name << "\"";
    for (const DeclaredOption& option : command.options)
      if (!option.is_word()) {
        EXPECT_TRUE(names_option(section, option.names.front()) || names_option(shared, option.names.front()))
            << "docs/commands.md, " << command.name << ": " << option.names.front();
      }
  }
  EXPECT_FALSE(names_option("--outer", "--out")) << "the check can fail";
  EXPECT_EQ(section_of(docs, "frobnicate"), "");
}

TEST(Describe, help_names_every_option_and_shows_an_example) {
  Bench bench;
  for (const DeclaredCommand& command : all_commands()) {
    const std::string help = bench.expect(0, {command.name, "--help"}).out;
    EXPECT_NE(help.find("Example:\n  sherdmark " + command.name), std::string::npos) << command.name;
    for (const DeclaredOption& option : command.options)
      for (const std::string& name : option.names) EXPECT_TRUE(names_option(help, name)) << command.name << " " << name;
  }
}

// Judge: groff, which warns of everything it does not understand.
TEST(Describe, the_manual_page_is_clean_roff_and_names_every_option) {
  const std::string page = described("man");
  const RunResult checked = run({"groff", "-man", "-Kutf8", "-Tutf8", "-ww", "-z"}, page);
  EXPECT_EQ(checked.exit_code, 0);
  EXPECT_EQ(checked.err, "");
  const RunResult shown = run({"sh", "-c", "groff -man -Kutf8 -Tascii -P-cbou"}, page);
  for (const DeclaredCommand& command : all_commands()) {
    EXPECT_NE(shown.out.find("sherdmark " + command.name), std::string::npos) << command.name;
    for (const DeclaredOption& option : command.options)
      for (const std::string& name : option.names)
        EXPECT_TRUE(names_option(shown.out, name)) << command.name << " " << name;
  }
  EXPECT_NE(run({"groff", "-man", "-Tutf8", "-ww", "-z"}, ".TH X 1\n.NOSUCH\n").err, "") << "the judge can complain";
}

// What bash offers for "sherdmark WORDS… LAST".
std::string bash_offers(const std::string& script, const std::vector<std::string>& words) {
  std::string program = script + "\nCOMP_WORDS=(sherdmark";
  for (const std::string& word : words) program += " '" + word + "'";
  program += ")\nCOMP_CWORD=" + std::to_string(words.size()) +
             "\ncompopt() { :; }\n_sherdmark\nprintf '%s\\n' \"${COMPREPLY[@]}\"\n";
  const RunResult result = run({"bash", "--norc", "-s"}, program);
  EXPECT_EQ(result.exit_code, 0) << result.err;
  EXPECT_EQ(result.err, "");
  return "\n" + result.out;
}

TEST(Describe, bash_offers_every_command_and_every_option) {
  const std::string script = described("bash");
  const std::string commands = bash_offers(script, {""});
  for (const DeclaredCommand& command : all_commands()) {
    EXPECT_NE(commands.find("\n" + command.name + "\n"), std::string::npos) << command.name;
    const std::string options = bash_offers(script, {command.name, "--"});
    for (const DeclaredOption& option : command.options) {
      if (option.is_word()) continue;
      EXPECT_NE(options.find("\n" + option.names.front() + "\n"), std::string::npos)
          << command.name << " " << option.names.front();
      for (const std::string& choice : option.choices)
        EXPECT_NE(bash_offers(script, {command.name, option.names.front(), ""}).find("\n" + choice + "\n"),
                  std::string::npos)
            << choice;
    }
  }
  EXPECT_EQ(bash_offers(script, {"export", "cat"}), "\ncatalog\n");
}

TEST(Describe, zsh_and_fish_accept_their_completion_and_it_names_every_option) {
  const ScratchFolder folder;
  for (const std::string shell : {"zsh", "fish"}) {
    const std::string script = described(shell);
    const std::filesystem::path file = folder / ("completion." + shell);
    write_text_atomic(real_file_system(), file, script);
    const RunResult checked = run({shell, "-n", file.string()});
    EXPECT_EQ(checked.exit_code, 0) << shell << ": " << checked.err;
    for (const DeclaredCommand& command : all_commands())
      for (const DeclaredOption& option : command.options) {
        if (option.is_word()) continue;
        const std::string name = option.names.front();
        const bool named = shell == "zsh" ? names_option(script, name) : names_option(script, "-l " + name.substr(2));
        EXPECT_TRUE(named) << shell << ": " << command.name << " " << name;
      }
  }
}

// Judge: fish itself, which lists what it would offer.
TEST(Describe, fish_offers_the_options_of_the_command_that_was_typed) {
  const ScratchFolder folder;
  const std::filesystem::path file = folder / "sherdmark.fish";
  write_text_atomic(real_file_system(), file, described("fish"));
  const RunResult offered =
      run({"env", "HOME=" + folder.path().string(), "fish", "--no-config", "-c",
           "source " + file.string() + "; complete -C 'sherdmark labels --'; complete -C 'sherdmark '"});
  EXPECT_EQ(offered.exit_code, 0) << offered.err;
  EXPECT_NE(offered.out.find("--preview-dpi"), std::string::npos) << offered.out;
  EXPECT_NE(offered.out.find("verify-ledger"), std::string::npos) << offered.out;
  EXPECT_EQ(offered.out.find("--set-aside"), std::string::npos) << "that is of another command";
}

}  // namespace
}  // namespace sherdmark::testing
