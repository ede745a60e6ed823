#include "sherdmark/base/files.h"

#include <gtest/gtest.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include <csignal>
#include <fstream>
#include <stdexcept>

#include "sherdmark/base/error.h"
#include "sherdmark/base/parallel.h"
#include "sherdmark/base/regular_file.h"
#include "support/test_support.h"

namespace sherdmark {
namespace {

namespace fs = std::filesystem;

std::size_t files_in(const fs::path& folder) {
  return static_cast<std::size_t>(std::distance(fs::directory_iterator{folder}, fs::directory_iterator{}));
}

template <typename Act>
Error error_of(Act act) {
  try {
    act();
  } catch (const Error& error) {
    return error;
  }
  throw std::runtime_error("no error was thrown");
}

TEST(Files, what_was_written_is_read_back_whole) {
  const testing::ScratchFolder scratch;
  FileSystem& files = real_file_system();
  std::string text = "16WC5\r\n\xEF\xBB\xBF";
  text.push_back('\0');
  write_text_atomic(files, scratch / "deep/er/log.csv", text);
  EXPECT_EQ(read_text(files, scratch / "deep/er/log.csv"), text);
}

TEST(Files, a_write_that_fails_half_way_leaves_the_old_file_and_nothing_else) {
  const testing::ScratchFolder scratch;
  FileSystem& files = real_file_system();
  write_text_atomic(files, scratch / "ledger", "old");
  EXPECT_THROW(files.write_atomic(scratch / "ledger",
                                  [](const ByteSink& sink) {
                                    sink(as_byte_span("half of the new"));
                                    throw std::runtime_error("power cut");
                                  }),
               std::runtime_error);
  EXPECT_EQ(read_text(files, scratch / "ledger"), "old");
  EXPECT_EQ(files_in(scratch.path()), 1U);
}

TEST(Files, a_reader_never_sees_half_of_a_file) {
  const testing::ScratchFolder scratch;
  FileSystem& files = real_file_system();
  write_text_atomic(files, scratch / "sheet", "old");
  files.write_atomic(scratch / "sheet", [&](const ByteSink& sink) {
    sink(as_byte_span("new "));
    EXPECT_EQ(read_text(files, scratch / "sheet"), "old");
    sink(as_byte_span("text"));
  });
  EXPECT_EQ(read_text(files, scratch / "sheet"), "new text");
}

TEST(Files, a_new_file_gets_the_permissions_the_person_set) {
  const testing::ScratchFolder scratch;
  const mode_t before = ::umask(027);
  write_text_atomic(real_file_system(), scratch / "a", "x");
  ::umask(before);
  EXPECT_EQ(fs::status(scratch / "a").permissions(),
            fs::perms::owner_read | fs::perms::owner_write | fs::perms::group_read);
}

TEST(Files, many_that_are_written_at_once_get_those_permissions_too) {
  const testing::ScratchFolder scratch;
  const mode_t before = ::umask(077);
  constexpr std::size_t k_files = 400;
  for_each_index(k_files, 8,
                 [&](std::size_t i) { write_text_atomic(real_file_system(), scratch / std::to_string(i), "x"); });
  const mode_t after = ::umask(before);
  EXPECT_EQ(after, 077U) << "it is everybody's, and was changed";
  for (std::size_t i = 0; i < k_files; ++i)
    EXPECT_EQ(fs::status(scratch / std::to_string(i)).permissions(), fs::perms::owner_read | fs::perms::owner_write);
  EXPECT_EQ(files_in(scratch.path()), k_files);
}

TEST(Files, what_a_dead_program_left_in_the_making_is_in_nobodys_way) {
  const testing::ScratchFolder scratch;
  for (int i = 0; i < 1000; ++i)
    std::ofstream{scratch / (".sheet." + std::to_string(::getpid()) + "-" + std::to_string(i))} << "half";
  write_text_atomic(real_file_system(), scratch / "sheet", "whole");
  EXPECT_EQ(read_text(real_file_system(), scratch / "sheet"), "whole");
}

TEST(Files, each_thing_that_goes_wrong_names_the_file_and_what_to_do) {
  const testing::ScratchFolder scratch;
  FileSystem& files = real_file_system();
  const Error missing = error_of([&] { (void)files.read(scratch / "none.csv", 10); });
  EXPECT_EQ(missing.exit_code(), 4);
  EXPECT_EQ(std::string{missing.what()}, (scratch / "none.csv").string() +
                                             ": could not open the file: No such file or directory. Check the spelling "
                                             "of the name and the folder.");
  const Error folder = error_of([&] { (void)files.read(scratch.path(), 10); });
  EXPECT_EQ(folder.exit_code(), 4);
  EXPECT_EQ(folder.problem(), "this is a folder, not a file.");
}

TEST(Files, only_a_file_is_ever_replaced) {
  const testing::ScratchFolder scratch;
  FileSystem& files = real_file_system();
  write_text_atomic(files, scratch / "elsewhere", "kept");
  fs::create_symlink(scratch / "elsewhere", scratch / "link");
  fs::create_symlink(scratch / "nothing", scratch / "dangling");
  fs::create_directory(scratch / "folder");
  ASSERT_EQ(::mkfifo((scratch / "pipe").c_str(), 0600), 0);
  for (const auto& [name, problem] : {std::pair{"link", "this is a link to another place, and is not replaced."},
                                      std::pair{"dangling", "this is a link to another place, and is not replaced."},
                                      std::pair{"folder", "this is a folder, not a file."},
                                      std::pair{"pipe", "this is a device or a pipe, not a file."}}) {
    const fs::path file = scratch / name;
    const fs::file_type before = fs::symlink_status(file).type();
    const Error error = error_of([&] { write_text_atomic(files, file, "new"); });
    EXPECT_EQ(error.exit_code(), 4) << name;
    EXPECT_EQ(error.problem(), problem) << name;
    EXPECT_EQ(fs::symlink_status(file).type(), before) << name;
  }
  EXPECT_EQ(read_text(files, scratch / "elsewhere"), "kept");
  EXPECT_EQ(files_in(scratch.path()), 5U);
}

TEST(Files, the_limit_is_kept_to_the_byte) {
  const testing::ScratchFolder scratch;
  FileSystem& files = real_file_system();
  write_text_atomic(files, scratch / "ten", "0123456789");
  EXPECT_EQ(files.read(scratch / "ten", 10).size(), 10U);
  const Error error = error_of([&] { (void)files.read(scratch / "ten", 9); });
  EXPECT_EQ(error.exit_code(), 3);
  EXPECT_EQ(error.place().file, (scratch / "ten").string());
}

// A pipe in the folder into which `command` writes from outside.
fs::path pipe_from(const testing::ScratchFolder& scratch, const std::string& command) {
  fs::path pipe = scratch / "pipe";
  EXPECT_EQ(::mkfifo(pipe.c_str(), 0600), 0);
  (void)testing::run({"sh", "-c", "exec </dev/null >/dev/null 2>&1; (" + command + ") >'" + pipe.string() + "' &"});
  return pipe;
}

// Whoever waits for ever is ended, and has failed.
class HangsNot {
 public:
  HangsNot() { ::alarm(60); }
  ~HangsNot() { ::alarm(0); }
  HangsNot(const HangsNot&) = delete;
  HangsNot& operator=(const HangsNot&) = delete;
  HangsNot(HangsNot&&) = delete;
  HangsNot& operator=(HangsNot&&) = delete;
};

TEST(Files, what_somebody_writes_into_a_pipe_is_read_whole_however_slowly_it_comes) {
  const HangsNot guard;
  const testing::ScratchFolder scratch;
  const fs::path pipe = pipe_from(scratch, "printf one; sleep 0.3; printf ,two; sleep 0.3; seq 1 100000");
  const std::string text = read_text(real_file_system(), pipe);
  EXPECT_TRUE(text.starts_with("one,two1\n2\n")) << text.substr(0, 20);
  EXPECT_TRUE(text.ends_with("\n100000\n"));
}

TEST(Files, an_endless_pipe_stops_at_the_limit) {
  const HangsNot guard;
  const testing::ScratchFolder scratch;
  const fs::path pipe = pipe_from(scratch, "yes");
  EXPECT_EQ(error_of([&] { (void)real_file_system().read(pipe, std::size_t{1} << 20U); }).exit_code(), 3);
}

TEST(Files, what_is_no_file_is_said_and_nobody_waits_for_it) {
  const HangsNot guard;
  const testing::ScratchFolder scratch;
  ASSERT_EQ(::mkfifo((scratch / "pipe").c_str(), 0600), 0);
  ASSERT_EQ(::mknod((scratch / "socket").c_str(), S_IFSOCK | 0600, 0), 0);
  for (const auto& [file, problem] :
       {std::pair{scratch / "pipe", "this is a pipe with nothing in it, and nobody writes to it."},
        std::pair{scratch / "socket", "this is a socket, not a file."},
        std::pair{fs::path{"/dev/zero"}, "this is a device, not a file."}}) {
    const Error error = error_of([&, &file = file] { (void)real_file_system().read(file, 1U << 20U); });
    EXPECT_EQ(error.exit_code(), 4) << file;
    EXPECT_EQ(error.problem(), problem) << file;
  }
  EXPECT_EQ(error_of([&] { (void)read_regular(real_file_system(), scratch / "pipe", 10); }).problem(),
            "this is a pipe, not a file.");
}

TEST(Files, a_path_through_something_that_is_no_folder_is_an_environment_error) {
  const Error error = error_of([] { write_text_atomic(real_file_system(), "/dev/full/x", "x"); });
  EXPECT_EQ(error.exit_code(), 4);
  EXPECT_EQ(error.place().file, "/dev/full");
}

// The kernel refuses the write half way (file size limit), as a full disk does.
TEST(Files, a_write_the_system_refuses_half_way_leaves_the_old_file_and_says_so) {
  const testing::ScratchFolder scratch;
  write_text_atomic(real_file_system(), scratch / "sheet.pdf", "old");
  rlimit before{};
  ASSERT_EQ(::getrlimit(RLIMIT_FSIZE, &before), 0);
  const auto ignored = std::signal(SIGXFSZ, SIG_IGN);
  const rlimit small{4096, before.rlim_max};
  ASSERT_EQ(::setrlimit(RLIMIT_FSIZE, &small), 0);
  const Error error = error_of(
      [&] { write_text_atomic(real_file_system(), scratch / "sheet.pdf", std::string(std::size_t{1} << 20U, 'x')); });
  ::setrlimit(RLIMIT_FSIZE, &before);
  std::signal(SIGXFSZ, ignored);
  EXPECT_EQ(error.exit_code(), 4);
  EXPECT_EQ(error.problem(), "could not write the file: File too large.");
  EXPECT_EQ(error.place().file, (scratch / "sheet.pdf").string());
  EXPECT_EQ(read_text(real_file_system(), scratch / "sheet.pdf"), "old");
  EXPECT_EQ(files_in(scratch.path()), 1U);
}

}  // namespace
}  // namespace sherdmark
