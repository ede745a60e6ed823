// Text → data codewords (ISO/IEC 16022, 5.2). Only the encodations that our own alphabet needs: ASCII, C40 with its
// basic set, and Base 256 so that any bytes at all can be written.
#include <algorithm>
#include <array>
#include <limits>

#include "code/data_matrix.h"

namespace sherdmark {
namespace {

constexpr std::uint8_t k_pad = 129;
constexpr std::uint8_t k_latch_c40 = 230;
constexpr std::uint8_t k_latch_base256 = 231;
constexpr std::uint8_t k_upper_shift = 235;
constexpr std::uint8_t k_unlatch = 254;
constexpr int k_never = std::numeric_limits<int>::max() / 2;

bool is_digit(char c) { return c >= '0' && c <= '9'; }

std::uint8_t byte_of(int value) { return static_cast<std::uint8_t>(value); }

// Value in the C40 basic set; -1: not in it.
int c40_value(char c) {
  if (c == ' ') return 3;
  if (is_digit(c)) return c - '0' + 4;
  if (c >= 'A' && c <= 'Z') return c - 'A' + 14;
  return -1;
}

// Where an encoder may stand before a character: in ASCII, or in C40 with 0, 1 or 2 values waiting.
enum State { k_ascii, k_c40, k_c40_one, k_c40_two, k_state_count };

struct Step {
  int codewords = k_never;  // fewest used so far
  State from = k_ascii;
  int characters = 0;  // taken by the last step; 0 is a change of encodation
};

// Fewest codewords to reach every (position, state).
class Plan {
 public:
  explicit Plan(std::string_view text) : text_(text), steps_(text.size() + 1) {
    steps_[0][k_ascii] = {0, k_ascii, 0};
    for (std::size_t at = 0; at < steps_.size(); ++at) relax(at);
  }

  [[nodiscard]] int cost(std::size_t at, State state) const { return steps_[at][state].codewords; }

  [[nodiscard]] Codewords codewords(std::size_t at, State state) const {
    std::vector<std::pair<std::size_t, State>> path;
    while (at > 0 || state != k_ascii) {
      path.emplace_back(at, state);
      const Step& step = steps_[at][state];
      at -= static_cast<std::size_t>(step.characters);
      state = step.from;
    }
    std::reverse(path.begin(), path.end());
    Codewords out;
    for (const auto& [position, reached] : path) write(steps_[position][reached], position, reached, out);
    return out;
  }

 private:
  void reach(std::size_t at, State state, const Step& step) {
    Step& known = steps_[at][state];
    if (step.codewords < known.codewords) known = step;
  }

  void relax(std::size_t at) {
    reach(at, k_ascii, {cost(at, k_c40) + 1, k_c40, 0});
    reach(at, k_c40, {cost(at, k_ascii) + 1, k_ascii, 0});
    if (at == text_.size()) return;
    const int ascii = cost(at, k_ascii);
    if (at + 1 < text_.size() && is_digit(text_[at]) && is_digit(text_[at + 1]))
      reach(at + 2, k_ascii, {ascii + 1, k_ascii, 2});
    const bool extended = static_cast<unsigned char>(text_[at]) >= 128;
    reach(at + 1, k_ascii, {ascii + (extended ? 2 : 1), k_ascii, 1});
    if (c40_value(text_[at]) < 0) return;
    reach(at + 1, k_c40_one, {cost(at, k_c40), k_c40, 1});
    reach(at + 1, k_c40_two, {cost(at, k_c40_one), k_c40_one, 1});
    reach(at + 1, k_c40, {cost(at, k_c40_two) + 2, k_c40_two, 1});
  }

  void write(const Step& step, std::size_t at, State reached, Codewords& out) const {
    if (step.characters == 0) {
      out.push_back(reached == k_c40 ? k_latch_c40 : k_unlatch);
    } else if (reached == k_ascii && step.characters == 2) {
      out.push_back(byte_of((text_[at - 2] - '0') * 10 + (text_[at - 1] - '0') + 130));
    } else if (reached == k_ascii) {
      const int value = static_cast<unsigned char>(text_[at - 1]);
      if (value >= 128) out.push_back(k_upper_shift);
      out.push_back(byte_of(value >= 128 ? value - 128 + 1 : value + 1));
    } else if (reached == k_c40) {
      write_triple(c40_value(text_[at - 3]), c40_value(text_[at - 2]), c40_value(text_[at - 1]), out);
    }
  }

  static void write_triple(int first, int second, int third, Codewords& out) {
    const int packed = 1600 * first + 40 * second + third + 1;
    out.push_back(byte_of(packed / 256));
    out.push_back(byte_of(packed % 256));
  }

  std::string_view text_;
  std::vector<std::array<Step, k_state_count>> steps_;
};

// Base 256 codewords are hidden behind the 255-state pattern; position counts from 1.
std::uint8_t randomise_255(int value, std::size_t position) {
  return byte_of((value + static_cast<int>(149 * position % 255) + 1) % 256);
}

std::uint8_t randomise_pad(std::size_t position) {
  const int value = k_pad + static_cast<int>(149 * position % 253) + 1;
  return byte_of(value > 254 ? value - 254 : value);
}

Codewords base256(std::string_view text) {
  Codewords out{k_latch_base256};
  const auto put = [&out](int value) { out.push_back(randomise_255(value, out.size() + 1)); };
  const int length = static_cast<int>(text.size());
  if (length >= 250) put(249 + length / 250);
  put(length < 250 ? length : length % 250);
  for (const char c : text) put(static_cast<unsigned char>(c));
  return out;
}

void pad(Codewords& codewords, std::size_t capacity) {
  if (codewords.size() < capacity) codewords.push_back(k_pad);
  while (codewords.size() < capacity) codewords.push_back(randomise_pad(codewords.size() + 1));
}

// The ends that 5.2.5.2 allows: back in ASCII; C40 that fills the symbol exactly; or C40 with one codeword left, which
// then is ASCII without an unlatch.
std::optional<Codewords> end_within(const Plan& plan, std::string_view text, int capacity) {
  const std::size_t end = text.size();
  if (plan.cost(end, k_ascii) <= capacity) return plan.codewords(end, k_ascii);
  if (plan.cost(end, k_c40) == capacity) return plan.codewords(end, k_c40);
  if (end >= 1 && plan.cost(end - 1, k_c40) == capacity - 1 && static_cast<unsigned char>(text.back()) < 128) {
    Codewords out = plan.codewords(end - 1, k_c40);
    out.push_back(byte_of(text.back() + 1));
    return out;
  }
  if (end >= 2 && plan.cost(end - 2, k_c40) == capacity - 1 && is_digit(text[end - 1]) && is_digit(text[end - 2])) {
    Codewords out = plan.codewords(end - 2, k_c40);
    out.push_back(byte_of((text[end - 2] - '0') * 10 + (text[end - 1] - '0') + 130));
    return out;
  }
  return std::nullopt;
}

}  // namespace

std::optional<Codewords> encode_data_codewords(std::string_view text, int capacity) {
  constexpr std::size_t k_longest = 1555;  // bytes in the largest symbol of the standard
  if (text.empty() || text.size() > 2 * k_longest) return std::nullopt;
  std::optional<Codewords> codewords = end_within(Plan{text}, text, capacity);
  if (!codewords && text.size() <= k_longest) {
    codewords = base256(text);
    if (codewords->size() > static_cast<std::size_t>(capacity)) return std::nullopt;
  }
  if (codewords) pad(*codewords, static_cast<std::size_t>(capacity));
  return codewords;
}

}  // namespace sherdmark
