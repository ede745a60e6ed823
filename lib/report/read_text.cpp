#include <fmt/format.h>

#include "sherdmark/base/text.h"
#include "sherdmark/code/link_code.h"
#include "sherdmark/report/read_report.h"

namespace sherdmark {
namespace {

// What a person can make of a code without any ledger.
std::string meaning(const std::string& text) {
  const LinkReading reading = parse_code_text(text);
  switch (reading.status) {
    case LinkStatus::foreign:
      return "foreign";
    case LinkStatus::newer:
      return fmt::format("ours, of a newer version ({}): update the program", reading.version);
    case LinkStatus::damaged:
      return "begins like ours, but is damaged: key what the label says";
    case LinkStatus::ours:
      break;
  }
  if (reading.micro) return "artifact label, number " + printable(reading.micro->number);
  const LinkCode& link = *reading.link;
  std::string words = fmt::format("{} {}", to_text(link.role), link.subject);
  if (link.number_is_opaque) {
    words += ", number kept private";
  } else if (!link.number.empty()) {
    words += ", number " + printable(link.number);
  }
  if (link.ordinal > 1) words += fmt::format(", sheet {}", link.ordinal);
  return words + fmt::format(", print {}, revision {}, collection {}", link.serial, link.revision, link.collection_key);
}

}  // namespace

ReadResult make_read_result(std::string image, int page, std::vector<CodeReading> codes) {
  ReadResult result{std::move(image), page, {}, std::nullopt};
  for (CodeReading& code : codes) {
    const bool ours = parse_code_text(code.text).status == LinkStatus::ours;
    result.codes.push_back({std::move(code), ours});
  }
  return result;
}

std::string read_report_text(std::span<const ReadResult> results) {
  std::string text;
  std::size_t codes = 0;
  std::size_t ours = 0;
  std::size_t unread = 0;
  for (const ReadResult& result : results) {
    text += printable(result.image) + (result.page > 1 ? fmt::format(", page {}", result.page) : "") + "\n";
    if (result.error) {
      text += "  could not be read: " + printable(*result.error) + "\n";
      ++unread;
    } else if (result.codes.empty()) {
      text += "  no code\n";
    }
    for (const ReadCode& one : result.codes) {
      text += fmt::format("  {:<12} {}\n  {:<12} {}\n", to_text(one.code.format), meaning(one.code.text), "",
                          printable(one.code.text));
      ++codes;
      ours += one.ours ? 1 : 0;
    }
  }
  text += fmt::format("{} page{}, {} code{}, {} of them ours", results.size(), results.size() == 1 ? "" : "s", codes,
                      codes == 1 ? "" : "s", ours);
  if (unread > 0) text += fmt::format("; {} could not be read", unread);
  return text + ".\n";
}

}  // namespace sherdmark
