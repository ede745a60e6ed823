// Damaged files: rows and problems, or a data error that names the file; never a crash, never without end.
#include <gtest/gtest.h>
#include <xlsxwriter.h>
#include <zlib.h>

#include "catalog_samples.h"
#include "sherdmark/base/error.h"

namespace sherdmark {
namespace {

void expect_survived(std::string_view bytes) {
  try {
    const CatalogReading reading = read_catalog(read_table(as_byte_span(bytes), "hurt"), quillow());
    EXPECT_EQ(reading.rows.size() + reading.bad_table_rows.size(), reading.table.rows.size());
    (void)write_set_aside(reading);
    (void)write_catalog_csv(reading.rows, quillow(), true);
  } catch (const Error& error) {
    EXPECT_EQ(error.family(), ErrorFamily::data) << error.what();
    EXPECT_EQ(error.place().file, "hurt") << error.what();
  }
}

void hurt_every_way(const std::string& whole, std::size_t stride) {
  for (std::size_t length = 0; length <= whole.size(); length += stride) expect_survived(whole.substr(0, length));
  for (std::size_t at = 0; at < whole.size(); at += stride)
    for (const int flip : {0x01, 0x80, 0xFF}) {
      std::string hurt = whole;
      hurt[at] = static_cast<char>(hurt[at] ^ flip);
      expect_survived(hurt);
    }
}

std::string small_csv() {
  return "\xEF\xBB\xBF"
         "Cat. No.,Acc #,Description,Material,Qty,Notes\r\n"
         "16ZQ5/12.1,2031.4,\"sherd, "
         "\"\"rim\"\"\",ceramic,3,'=x\r\n16ZQ5/12.2,2031.4,caf\u00E9,\u0410b,\"1,234\",\"a\r\nb\"\r\n";
}

std::string small_workbook() {
  const testing::ScratchFolder folder;
  lxw_workbook* book = workbook_new((folder / "small.xlsx").c_str());
  lxw_worksheet* sheet = workbook_add_worksheet(book, "Finds");
  lxw_format* date = workbook_add_format(book);
  format_set_num_format(date, "d-mmm");
  const char* header[] = {"Cat. No.", "Acc #", "Description", "Material", "Qty"};
  for (lxw_col_t c = 0; c < 5; ++c) worksheet_write_string(sheet, 0, c, header[c], nullptr);
  worksheet_write_string(sheet, 1, 0, "16ZQ5/12.1", nullptr);
  worksheet_write_number(sheet, 1, 4, 3, date);
  workbook_close(book);
  return read_text(real_file_system(), folder / "small.xlsx");
}

TEST(HostileInput, EveryPrefixAndEveryDamagedByteOfACatalogIsSurvived) { hurt_every_way(small_csv(), 1); }

TEST(HostileInput, DamagedWorkbooksAreSurvived) { hurt_every_way(small_workbook(), 7); }

TEST(HostileInput, TheSeedsOfTheCorpusAreSurvived) {
  std::size_t seen = 0;
  for (const auto& file : std::filesystem::directory_iterator{testing::test_data("catalog/corpus")}) {
    expect_survived(read_text(real_file_system(), file.path()));
    ++seen;
  }
  EXPECT_GE(seen, 8U);
}

// A zip file of stored or deflated parts, made by hand (PKWARE APPNOTE 4.3.7, 4.3.12, 4.3.16).
class ZipMaker {
 public:
  void add(const std::string& name, const std::string& content) {
    std::string packed(compressBound(static_cast<uLong>(content.size())) + 64, '\0');
    z_stream stream{};
    ASSERT_EQ(deflateInit2(&stream, 1, Z_DEFLATED, -15, 9, Z_DEFAULT_STRATEGY), Z_OK);
    stream.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(content.data()));
    stream.avail_in = static_cast<uInt>(content.size());
    stream.next_out = reinterpret_cast<Bytef*>(packed.data());
    stream.avail_out = static_cast<uInt>(packed.size());
    ASSERT_EQ(deflate(&stream, Z_FINISH), Z_STREAM_END);
    packed.resize(stream.total_out);
    deflateEnd(&stream);
    const auto crc = crc32(0, reinterpret_cast<const Bytef*>(content.data()), static_cast<uInt>(content.size()));
    std::string head;
    number(head, 20, 2), number(head, 0, 2), number(head, 8, 2), number(head, 0, 4);
    number(head, crc, 4), number(head, packed.size(), 4), number(head, content.size(), 4);
    number(head, name.size(), 2), number(head, 0, 2);
    directory_ += std::string{"PK\x01\x02\x14\x00", 6} + head;
    number(directory_, 0, 2), number(directory_, 0, 2), number(directory_, 0, 2), number(directory_, 0, 4);
    number(directory_, body_.size(), 4);
    directory_ += name;
    body_ += "PK\x03\x04" + head + name + packed;
    ++parts_;
  }
  std::string finish() {
    std::string end = "PK\x05\x06";
    number(end, 0, 4), number(end, parts_, 2), number(end, parts_, 2), number(end, directory_.size(), 4);
    number(end, body_.size(), 4), number(end, 0, 2);
    return body_ + directory_ + end;
  }

 private:
  static void number(std::string& text, std::uint64_t value, int bytes) {
    for (int i = 0; i < bytes; ++i) text.push_back(static_cast<char>((value >> (8 * i)) & 0xFFU));
  }
  std::string body_{};
  std::string directory_{};
  std::uint64_t parts_ = 0;
};

constexpr const char* k_workbook =
    "<workbook><sheets><sheet name='Finds' sheetId='1' r:id='r1' "
    "xmlns:r='http://schemas.openxmlformats.org/officeDocument/2006/relationships'/>"
    "</sheets></workbook>";
constexpr const char* k_relations =
    "<Relationships><Relationship Id='r1' Target='worksheets/sheet1.xml'/></Relationships>";

std::string workbook_of(const std::string& sheet, const std::string& strings = "<sst/>") {
  ZipMaker zip;
  zip.add("xl/workbook.xml", k_workbook);
  zip.add("xl/_rels/workbook.xml.rels", k_relations);
  zip.add("xl/sharedStrings.xml", strings);
  zip.add("xl/worksheets/sheet1.xml", sheet);
  return zip.finish();
}

TEST(HostileInput, AWorkbookMadeByHandIsRead) {
  const Table table = table_of(
      workbook_of("<worksheet><sheetData><row><c t='inlineStr'><is><t>number</t></is></c><c t='s'><v>0</v></c></row>"
                  "<row><c><v>12.3</v></c><c t='inlineStr'><is><t>_x0041_b</t></is></c></row></sheetData></worksheet>",
                  "<sst><si><t>object</t><rPh><t>no</t></rPh></si></sst>"));
  EXPECT_EQ(table.header, (std::vector<std::string>{"number", "object"}));
  EXPECT_EQ(table.rows.texts(), (std::vector<std::vector<std::string>>{{"12.3", "Ab"}}));
}

void expect_refused(const std::string& bytes, std::string_view words) {
  try {
    (void)table_of(bytes);
    FAIL() << words;
  } catch (const Error& error) {
    EXPECT_TRUE(contains(error.what(), words)) << error.what();
  }
}

TEST(HostileInput, WorkbooksThatGrowWithoutBoundsAreRefused) {
  // 260 MB of blanks in about a megabyte.
  expect_refused(workbook_of("<worksheet>" + std::string(std::size_t{260} << 20U, ' ') + "</worksheet>"),
                 "more than 256 MB");
  // One text of 100 kB, shown in 100,000 cells.
  std::string cells = "<worksheet><sheetData><row>";
  for (int row = 0; row < 200; ++row) {
    for (int i = 0; i < 500; ++i) cells += "<c t='s'><v>0</v></c>";
    cells += "</row><row>";
  }
  expect_refused(workbook_of(cells + "</row></sheetData></worksheet>",
                             "<sst><si><t>" + std::string(100'000, 'a') + "</t></si></sst>"),
                 "MB of text");
  // Entities that double and double (the "billion laughs").
  expect_refused(workbook_of("<!DOCTYPE x [<!ENTITY a 'aaaa'><!ENTITY b '&a;&a;'>]><worksheet>&b;</worksheet>"),
                 "declares entities");
  std::string deep;
  for (int i = 0; i < 10'000; ++i) deep += "<a>";
  expect_refused(workbook_of(deep), "nests too deeply");
  expect_refused(workbook_of("<worksheet a='" + std::string(std::size_t{4} << 20U, 'a') + "'/>"), "far too long");
  expect_refused(workbook_of("<worksheet><sheetData><row><c r='XFE1'><v>1</v></c></row></sheetData></worksheet>"),
                 "columns");
  expect_refused(workbook_of("<worksheet><sheetData><row><c t='s'><v>7</v></c></row></sheetData></worksheet>"),
                 "a text that the workbook does not hold");
}

TEST(HostileInput, OtherZipFilesAreCalledByName) {
  ZipMaker open_document;
  open_document.add("content.xml", "<x/>");
  expect_refused(open_document.finish(), "OpenDocument spreadsheet");
  ZipMaker other;
  other.add("word/document.xml", "<x/>");
  expect_refused(other.finish(), "not an .xlsx workbook");
}

}  // namespace
}  // namespace sherdmark
