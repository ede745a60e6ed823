#include "sherdmark/base/error.h"

#include <fmt/format.h>

#include <utility>

#include "sherdmark/base/text.h"

namespace sherdmark {

std::string describe(const ErrorPlace& place) {
  std::string text = printable(place.file);
  const auto add = [&text](std::string_view name, const std::optional<std::size_t>& value) {
    if (!value) return;
    if (!text.empty()) text += ", ";
    text += fmt::format("{} {}", name, *value);
  };
  add("page", place.page);
  add("row", place.row);
  add("column", place.column);
  add("byte", place.offset);
  return text;
}

namespace {

// Sentences end with a stop and begin with a capital, however their writer left them.
std::string ended(std::string sentence) {
  if (!sentence.empty() && std::string_view{".!?:"}.find(sentence.back()) == std::string_view::npos) sentence += '.';
  return sentence;
}
std::string begun(std::string sentence) {
  if (!sentence.empty() && sentence[0] >= 'a' && sentence[0] <= 'z')
    sentence[0] = static_cast<char>(sentence[0] - 'a' + 'A');
  return sentence;
}

std::string whole_text(const std::string& problem, const ErrorPlace& place, const std::string& remedy) {
  const std::string where = describe(place);
  std::string text = where.empty() ? problem : where + ": " + problem;
  if (!remedy.empty()) text += " " + remedy;
  return text;
}

}  // namespace

Error::Error(ErrorFamily family, std::string problem, ErrorPlace place, std::string remedy)
    : family_(family),
      problem_(ended(std::move(problem))),
      place_(std::move(place)),
      remedy_(begun(ended(std::move(remedy)))),
      text_(whole_text(problem_, place_, remedy_)) {}

Error usage_error(std::string problem, std::string remedy) {
  return {ErrorFamily::usage, std::move(problem), {}, std::move(remedy)};
}
Error data_error(std::string problem, ErrorPlace place, std::string remedy) {
  return {ErrorFamily::data, std::move(problem), std::move(place), std::move(remedy)};
}
Error environment_error(std::string problem, ErrorPlace place, std::string remedy) {
  return {ErrorFamily::environment, std::move(problem), std::move(place), std::move(remedy)};
}
Error internal_error(std::string problem) {
  return {
      ErrorFamily::internal, std::move(problem), {}, "This is a bug in sherdmark; please report it with what you did."};
}

}  // namespace sherdmark
