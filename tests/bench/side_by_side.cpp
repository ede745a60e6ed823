// Runs two commands in turn, several rounds, and says how long each took: medians of processor and wall-clock time, the
// most memory, and the ratios, medians of what each round gives. One JSON object on one line.
//   side_by_side --name TEXT [--rounds N] [--ratio R | --seconds S | --megabytes M] [--before SH] OURS_SH [PEER_SH]
// The commands are for sh; --before runs, unmeasured, before each of ours. Exit code 1 when a bar is not met, 3 when a
// command fails. Bars are by the clock, as people wait, with all processors at work; the ratio of processor time, which a
// busy machine blurs less, stands beside.
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <vector>

namespace {

struct Cost {
  double cpu_s = 0;
  double wall_s = 0;
  double megabytes = 0;
};

double seconds(const timeval& t) { return static_cast<double>(t.tv_sec) + static_cast<double>(t.tv_usec) / 1e6; }

// Ends the program when the command cannot be run; exit code 1 is a finding of the tool, not a failure.
Cost run(const std::string& command) {
  const auto start = std::chrono::steady_clock::now();
  const pid_t child = ::fork();
  if (child == 0) {
    if (std::freopen("/dev/null", "w", stdout) == nullptr) std::_Exit(127);
    ::execl("/bin/sh", "sh", "-c", command.c_str(), static_cast<char*>(nullptr));
    std::_Exit(127);
  }
  int status = 0;
  rusage usage{};
  if (child < 0 || ::wait4(child, &status, 0, &usage) != child) std::exit(3);
  const double wall = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  if (!WIFEXITED(status) || WEXITSTATUS(status) > 1) {
    std::fprintf(stderr, "side_by_side: failed: %s\n", command.c_str());
    std::exit(3);
  }
  return {seconds(usage.ru_utime) + seconds(usage.ru_stime), wall, static_cast<double>(usage.ru_maxrss) / 1024};
}

double median(std::vector<Cost> costs, double Cost::*what) {
  std::vector<double> values;
  for (const Cost& cost : costs) values.push_back(cost.*what);
  std::sort(values.begin(), values.end());
  return values[values.size() / 2];
}

nlohmann::ordered_json as_json(const std::vector<Cost>& costs) {
  return {{"cpu_s", median(costs, &Cost::cpu_s)},
          {"wall_s", median(costs, &Cost::wall_s)},
          {"megabytes", median(costs, &Cost::megabytes)}};
}

double median_ratio(const std::vector<Cost>& ours, const std::vector<Cost>& peer, double Cost::*what) {
  std::vector<double> ratios;
  for (std::size_t i = 0; i < ours.size(); ++i) ratios.push_back(ours[i].*what / std::max(1e-6, peer[i].*what));
  std::sort(ratios.begin(), ratios.end());
  return ratios[ratios.size() / 2];
}

struct Order {
  std::string name, before, ours, peer;
  int rounds = 5;
  std::optional<double> ratio, seconds, megabytes;
};

Order read_order(int argc, char** argv) {
  Order order;
  std::vector<std::string> commands;
  for (int i = 1; i < argc; ++i) {
    const std::string word = argv[i];
    const auto value = [&] { return i + 1 < argc ? std::string{argv[++i]} : std::string{}; };
    if (word == "--name")
      order.name = value();
    else if (word == "--before")
      order.before = value();
    else if (word == "--rounds")
      order.rounds = std::max(1, std::atoi(value().c_str()));
    else if (word == "--ratio")
      order.ratio = std::atof(value().c_str());
    else if (word == "--seconds")
      order.seconds = std::atof(value().c_str());
    else if (word == "--megabytes")
      order.megabytes = std::atof(value().c_str());
    else
      commands.push_back(word);
  }
  if (commands.empty() || commands.size() > 2 || order.name.empty()) {
    std::fprintf(stderr, "side_by_side: name and one or two commands are needed\n");
    std::exit(2);
  }
  order.ours = commands[0];
  if (commands.size() == 2) order.peer = commands[1];
  return order;
}

}  // namespace

int main(int argc, char** argv) {
  const Order order = read_order(argc, argv);
  std::vector<Cost> ours;
  std::vector<Cost> peer;
  for (int round = 0; round < order.rounds; ++round) {
    if (!order.before.empty()) (void)run(order.before);
    ours.push_back(run(order.ours));
    if (!order.peer.empty()) peer.push_back(run(order.peer));
  }
  nlohmann::ordered_json json{{"name", order.name}, {"rounds", order.rounds}, {"ours", as_json(ours)}};
  bool met = true;
  if (!peer.empty()) {
    json["peer"] = as_json(peer);
    const double ratio = median_ratio(ours, peer, &Cost::wall_s);
    json["ratio_cpu"] = median_ratio(ours, peer, &Cost::cpu_s);
    json["ratio_wall"] = ratio;
    if (order.ratio) met = met && ratio <= *order.ratio;
  }
  if (order.seconds) met = met && median(ours, &Cost::wall_s) <= *order.seconds;
  if (order.megabytes) met = met && median(ours, &Cost::megabytes) <= *order.megabytes;
  const bool has_bar = order.ratio || order.seconds || order.megabytes;
  json["bar"] = order.ratio       ? nlohmann::ordered_json{{"ratio", *order.ratio}}
                : order.seconds   ? nlohmann::ordered_json{{"seconds", *order.seconds}}
                : order.megabytes ? nlohmann::ordered_json{{"megabytes", *order.megabytes}}
                                  : nlohmann::ordered_json(nullptr);
  if (order.seconds && order.megabytes) json["bar"]["megabytes"] = *order.megabytes;
  json["met"] = has_bar ? nlohmann::ordered_json(met) : nlohmann::ordered_json(nullptr);
  std::printf("%s\n", json.dump().c_str());
  return met ? 0 : 1;
}
