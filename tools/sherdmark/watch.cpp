#include "watch.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <thread>

#include "interrupt.h"
#include "pictures.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/folder_watch.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

using std::chrono::milliseconds;
using std::chrono::steady_clock;

constexpr milliseconds k_between_looks{500};

}  // namespace

int watch_folder(const Session& session, const std::string& folder, int until_idle_s,
                 const std::function<int(const std::vector<std::string>& files)>& act) {
  const EndOnInterrupt end_on_interrupt;
  FolderWatch watch{folder, named_like_a_picture, ends_as_a_picture};
  session.warn(fmt::format("Watching {}. Ctrl-C ends.", printable(folder)));
  int code = 0;
  auto last_new = steady_clock::now();
  while (!EndOnInterrupt::asked()) {
    std::vector<std::string> files;
    for (const auto& file : watch.look()) files.push_back(file.string());
    if (!files.empty()) code = std::max(code, act(files));
    if (!files.empty() || watch.unsettled() > 0) last_new = steady_clock::now();
    if (until_idle_s > 0 && steady_clock::now() - last_new >= std::chrono::seconds{until_idle_s}) break;
    std::this_thread::sleep_for(k_between_looks);
  }
  return code;
}

}  // namespace sherdmark
