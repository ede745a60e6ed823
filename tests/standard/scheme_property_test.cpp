// Random schemes and random numbers: writing, reading and the reader's grammar agree on what a number is.
#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <set>

#include "scheme_samples.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/random.h"
#include "sherdmark/base/text.h"

namespace sherdmark {
namespace {

constexpr int k_schemes = 60;

std::int64_t between(RandomSource& random, std::int64_t least, std::int64_t most) {
  return least + static_cast<std::int64_t>(random.below(static_cast<std::uint64_t>(most - least + 1)));
}

template <typename T>
const T& any_of_list(RandomSource& random, const std::vector<T>& list) {
  return list[random.below(list.size())];
}

SchemePart random_part(RandomSource& random, int index, bool small) {
  SchemePart result;
  result.name = "part " + std::to_string(index);
  result.kind = static_cast<PartKind>(random.below(6));
  if (small && result.kind == PartKind::trinomial) result.kind = PartKind::integer;
  if (index > 0) result.separator = any_of_list<std::string>(random, {"", "-", "/", ".", "--"});
  result.smallest =
      result.kind == PartKind::year ? 1990 : between(random, result.kind == PartKind::trinomial ? 1 : 0, 20);
  result.largest = result.smallest + between(random, 0, small ? 15 : 3000);
  result.pad_to_digits = result.kind == PartKind::integer ? static_cast<int>(random.below(4)) : 0;
  result.shortest = 1;
  result.longest = static_cast<int>(between(random, 1, small ? 2 : 5));
  if (result.kind == PartKind::letters)
    result.alphabet = any_of_list<std::string>(random, {"ABC", "abcdefgh", "OIl", "éß"});
  if (result.kind == PartKind::free) result.alphabet = any_of_list<std::string>(random, {"01", "AB-", "XYZ9", "O0"});
  if (result.kind == PartKind::one_of) result.choices = {"IF", "C14", "P"};
  if (result.kind == PartKind::trinomial) result.choices = {"LA", "AL", "CA", "AK", "AZ", "DE"};
  return result;
}

// A scheme that may exist: tries until the parts do not contradict each other.
Scheme random_scheme(RandomSource& random, bool small) {
  for (;;) {
    std::vector<SchemePart> parts;
    const int count = static_cast<int>(between(random, 1, small ? 3 : 4));
    const int first_optional = static_cast<int>(between(random, 1, count));
    for (int i = 0; i < count; ++i) {
      parts.push_back(random_part(random, i, small));
      parts.back().optional = i >= first_optional;
      parts.back().level = static_cast<NumberLevel>(i);
    }
    try {
      return Scheme{"random", std::move(parts)};
    } catch (const Error& problem) {
      EXPECT_EQ(problem.family(), ErrorFamily::data) << problem.what();
    }
  }
}

std::string random_repeat(RandomSource& random, const SchemePart& part) {
  const std::u32string alphabet = decode_utf8(part.alphabet).value();
  std::u32string text;
  for (std::int64_t n = between(random, part.shortest, part.longest); n > 0; --n)
    text.push_back(alphabet[random.below(alphabet.size())]);
  return encode_utf8(text);
}

std::string random_trinomial(RandomSource& random, const SchemePart& part) {
  const std::string number = std::to_string(between(random, part.smallest, part.largest));
  static const std::map<std::string, std::string> k_openings{{"LA", "16OI"},    {"AL", "1IO"},     {"MS", "22EX"},
                                                             {"CA", "CA-LIO-"}, {"AK", "49-XYZ-"}, {"AZ", "AZ U:9:"},
                                                             {"DE", "7K-A-"}};
  return k_openings.at(any_of_list(random, part.choices)) + number;
}

// A part's canonical text, made without the library's own code.
std::string random_text(RandomSource& random, const SchemePart& part) {
  switch (part.kind) {
    case PartKind::trinomial:
      return random_trinomial(random, part);
    case PartKind::year:
    case PartKind::integer: {
      std::string digits = std::to_string(between(random, part.smallest, part.largest));
      const std::size_t width = static_cast<std::size_t>(part.pad_to_digits);
      return digits.size() < width ? std::string(width - digits.size(), '0') + digits : digits;
    }
    case PartKind::letters:
    case PartKind::free:
      return random_repeat(random, part);
    case PartKind::one_of:
      return any_of_list(random, part.choices);
  }
  return {};
}

std::vector<std::string> random_parts(RandomSource& random, const Scheme& scheme) {
  std::vector<std::string> texts;
  for (const SchemePart& part : scheme.parts()) {
    if (part.optional && random.below(3) == 0) break;
    texts.push_back(random_text(random, part));
  }
  return texts;
}

bool accepts(const NumberGrammar& grammar, std::u32string_view text) {
  if (grammar.states.empty()) return false;
  int state = 0;
  for (const char32_t character : text) {
    const auto& arcs = grammar.states[static_cast<std::size_t>(state)].arcs;
    const auto arc =
        std::find_if(arcs.begin(), arcs.end(), [character](const auto& a) { return a.character == character; });
    if (arc == arcs.end()) return false;
    state = arc->to;
  }
  return grammar.states[static_cast<std::size_t>(state)].accepting;
}

bool is_canonical(const Scheme& scheme, const std::string& text) {
  const auto result = scheme.parse(text);
  const auto* parsed = std::get_if<ParsedNumber>(&result);
  return parsed && parsed->corrections.empty() && parsed->number.text() == text;
}

// Every text the grammar accepts, up to a limit.
void enumerate(const NumberGrammar& grammar, int state, std::u32string& text, std::set<std::string>& found) {
  constexpr std::size_t k_most = 20'000;
  if (found.size() >= k_most) return;
  const NumberGrammar::State& here = grammar.states[static_cast<std::size_t>(state)];
  if (here.accepting) found.insert(encode_utf8(text));
  for (const NumberGrammar::Arc& arc : here.arcs) {
    text.push_back(arc.character);
    enumerate(grammar, arc.to, text, found);
    text.pop_back();
  }
}

// Every number of a small scheme, made by counting.
void count_out(const Scheme& scheme, std::size_t index, const std::string& text, std::set<std::string>& found) {
  const auto& parts = scheme.parts();
  if (index == parts.size() || parts[index].optional) found.insert(text);
  if (index == parts.size()) return;
  const SchemePart& part = parts[index];
  std::vector<std::string> texts;
  if (part.kind == PartKind::one_of) texts = part.choices;
  if (part.kind == PartKind::letters || part.kind == PartKind::free) {
    const std::u32string alphabet = decode_utf8(part.alphabet).value();
    std::vector<std::string> reached{""};
    for (int length = 1; length <= part.longest; ++length) {
      std::vector<std::string> longer;
      for (const std::string& one : reached)
        for (const char32_t c : alphabet) longer.push_back(one + encode_utf8(std::u32string(1, c)));
      reached = longer;
      if (length >= part.shortest) texts.insert(texts.end(), reached.begin(), reached.end());
    }
  }
  if (part.kind == PartKind::year || part.kind == PartKind::integer)
    for (std::int64_t value = part.smallest; value <= part.largest; ++value) {
      std::string digits = std::to_string(value);
      while (digits.size() < static_cast<std::size_t>(part.pad_to_digits)) digits.insert(0, "0");
      texts.push_back(digits);
    }
  for (const std::string& one : texts) count_out(scheme, index + 1, text + part.separator + one, found);
}

TEST(SchemeProperty, WhatIsWrittenIsReadBackUnchanged) {
  SeededRandom random{20310504};
  for (int round = 0; round < k_schemes; ++round) {
    const Scheme scheme = random_scheme(random, false);
    for (int i = 0; i < 100; ++i) {
      const std::vector<std::string> parts = random_parts(random, scheme);
      const auto number = scheme.format(parts);
      ASSERT_TRUE(number) << join(parts, " | ");
      const auto result = scheme.parse(number->text());
      const auto* parsed = std::get_if<ParsedNumber>(&result);
      ASSERT_NE(parsed, nullptr) << number->text();
      EXPECT_EQ(parsed->number, *number);
      EXPECT_EQ(parsed->number.parts(), parts);
      EXPECT_TRUE(parsed->corrections.empty());
      EXPECT_LE(code_point_count(number->text()), code_point_count(scheme.longest_number()));
      EXPECT_EQ(join(scheme.break_pieces(*number), ""), number->text());
    }
    EXPECT_TRUE(is_canonical(scheme, scheme.longest_number())) << scheme.longest_number();
    EXPECT_TRUE(is_canonical(scheme, scheme.example_number())) << scheme.example_number();
  }
}

TEST(SchemeProperty, TheGrammarOfASmallSchemeIsExactlyItsNumbers) {
  SeededRandom random{7};
  for (int round = 0; round < k_schemes; ++round) {
    const Scheme scheme = random_scheme(random, true);
    std::set<std::string> counted;
    count_out(scheme, 0, "", counted);
    counted.erase("");
    std::set<std::string> spelled;
    std::u32string text;
    const NumberGrammar grammar = scheme.grammar(NumberLevel::site, false);
    enumerate(grammar, 0, text, spelled);
    EXPECT_EQ(spelled, counted);
  }
}

TEST(SchemeProperty, TheGrammarAcceptsExactlyWhatParsesWithoutCorrection) {
  SeededRandom random{99};
  const std::u32string noise = U"0123456789ABOIlo-/. é=";
  int rejected = 0;
  for (int round = 0; round < k_schemes; ++round) {
    const Scheme scheme = random_scheme(random, false);
    const NumberGrammar grammar = scheme.grammar(NumberLevel::site, false);
    for (int i = 0; i < 100; ++i) {
      std::u32string text = decode_utf8(scheme.format(random_parts(random, scheme)).value().text()).value();
      EXPECT_TRUE(accepts(grammar, text)) << encode_utf8(text);
      const std::size_t at = random.below(text.size());
      const std::uint64_t change = random.below(4);
      if (change == 0) text[at] = noise[random.below(noise.size())];
      if (change == 1) text.erase(at, 1);
      if (change == 2) text.insert(at, 1, noise[random.below(noise.size())]);
      if (change == 3 && at + 1 < text.size()) std::swap(text[at], text[at + 1]);
      EXPECT_EQ(accepts(grammar, text), is_canonical(scheme, encode_utf8(text))) << encode_utf8(text);
      if (!accepts(grammar, text)) ++rejected;
    }
  }
  EXPECT_GT(rejected, k_schemes * 20);  // the mutations do bite
}

TEST(SchemeProperty, WithACheckCharacterTheGrammarIsEveryNumberWithItsSignAndOneOfThirtySix) {
  for (const Scheme& scheme : {site_scheme(), year_scheme(), sample_series_scheme()}) {
    SeededRandom random{5};
    const NumberGrammar plain = scheme.grammar(NumberLevel::item, false);
    const NumberGrammar checked = scheme.grammar(NumberLevel::item, true);
    EXPECT_FALSE(plain.has_check_character);
    EXPECT_TRUE(checked.has_check_character);
    for (int i = 0; i < 200; ++i) {
      const Number number = scheme.format(random_parts(random, scheme)).value();
      const std::u32string text = decode_utf8(number.text()).value();
      const bool wanted = number.level() >= NumberLevel::item;
      EXPECT_EQ(accepts(plain, text), wanted) << number.text();
      EXPECT_FALSE(accepts(checked, text));
      for (const char check : {'0', '9', 'A', 'Z'})
        EXPECT_EQ(accepts(checked, decode_utf8(printed_text(number, check)).value()), wanted) << number.text();
      EXPECT_FALSE(accepts(checked, text + U"=a"));
      EXPECT_FALSE(accepts(checked, text + U"=KK"));
    }
  }
}

TEST(SchemeProperty, TheGrammarIsSmallSortedAndWithoutDeadEnds) {
  for (const Scheme& scheme : {site_scheme(), year_scheme(), sample_series_scheme()}) {
    const NumberGrammar grammar = scheme.grammar(NumberLevel::item, true);
    EXPECT_LT(grammar.states.size(), 60U) << scheme.name();
    for (std::size_t i = 0; i < grammar.states.size(); ++i) {
      const auto& state = grammar.states[i];
      EXPECT_TRUE(state.accepting || !state.arcs.empty());
      for (std::size_t k = 0; k < state.arcs.size(); ++k) {
        EXPECT_GT(state.arcs[k].to, static_cast<int>(i)) << "arcs run forward: there are no cycles";
        if (k > 0) {
          EXPECT_LT(state.arcs[k - 1].character, state.arcs[k].character);
        }
      }
    }
  }
}

TEST(SchemeProperty, APrintedLineMayEndExactlyWhereThePiecesEnd) {
  for (const Scheme& scheme : {site_scheme(), year_scheme(), sample_series_scheme()}) {
    SeededRandom random{11};
    const NumberGrammar grammar = scheme.grammar(NumberLevel::site, false);
    for (int i = 0; i < 100; ++i) {
      const Number number = scheme.format(random_parts(random, scheme)).value();
      std::set<std::size_t> breaks;
      std::size_t length = 0;
      for (const std::string& piece : scheme.break_pieces(number)) breaks.insert(length += piece.size());
      int state = 0;
      for (std::size_t k = 0; k < number.text().size(); ++k) {
        const auto& arcs = grammar.states[static_cast<std::size_t>(state)].arcs;
        state = std::find_if(arcs.begin(), arcs.end(), [&](const auto& a) {
                  return a.character == static_cast<char32_t>(number.text()[k]);
                })->to;
        if (k + 1 < number.text().size()) {
          EXPECT_EQ(grammar.states[static_cast<std::size_t>(state)].may_break, breaks.contains(k + 1))
              << number.text() << " at " << k;
        }
      }
    }
  }
}

TEST(SchemeProperty, AnyTextAtAllIsReadOrRefusedInPlainWords) {
  SeededRandom random{3};
  const std::u32string signs = U"0O1Il6WZQ5/.- \u2013é=\u202E";
  const Scheme schemes[] = {site_scheme(), year_scheme(), sample_series_scheme(),
                            Scheme{"any site", {part("site", PartKind::trinomial, "", NumberLevel::site)}}};
  for (int i = 0; i < 4000; ++i) {
    std::u32string text;
    for (std::uint64_t n = random.below(24); n > 0; --n) text.push_back(signs[random.below(signs.size())]);
    const auto result = schemes[random.below(4)].parse(encode_utf8(text));
    if (const auto* problem = std::get_if<NumberProblem>(&result)) {
      EXPECT_LE(problem->at, text.size());
      EXPECT_FALSE(problem->expected.empty() || problem->remedy.empty()) << encode_utf8(text);
    }
  }
  EXPECT_TRUE(std::holds_alternative<NumberProblem>(schemes[0].parse(std::string(1'000'000, '1'))));
}

}  // namespace
}  // namespace sherdmark
