// The one table of third-party libraries: which headers are theirs and which layers adapt them (lib/README.md).
// fmt is exempt: it formats text everywhere. Standard and POSIX headers stand in standard_headers.cpp.
#include "architecture/source_rules.h"

namespace sherdmark::architecture {

const std::vector<ThirdParty>& third_parties() {
  static const std::vector<ThirdParty> table{
      {"OpenSSL libcrypto", {"openssl/"}, {"base"}},
      {"toml++", {"toml++/"}, {"standard"}},
      {"ICU", {"unicode/"}, {"standard", "catalog"}},
      {"expat", {"expat.h"}, {"catalog"}},
      {"minizip", {"minizip/", "unzip.h", "zip.h", "ioapi.h"}, {"catalog"}},
      {"libqrencode", {"qrencode.h"}, {"code"}},
      {"ZXing-cpp",
       {"ZXing/", "ReadBarcode.h", "MultiFormatWriter.h", "BitMatrix.h", "BarcodeFormat.h", "TextUtfEncoding.h"},
       {"code", "scan"}},
      {"FreeType", {"ft2build.h", "freetype", "FT_"}, {"type"}},
      {"fontconfig", {"fontconfig/"}, {"type", "sheet"}},
      {"Cairo", {"cairo"}, {"type", "sheet", "report"}},
      {"libheif", {"libheif/"}, {"scan"}},
      {"libwebp", {"webp/"}, {"scan"}},
      {"Pango", {"pango/"}, {"sheet", "report"}},
      {"nlohmann-json", {"nlohmann/"}, {"sheet", "report"}},
      {"libjpeg", {"jpeglib.h", "jerror.h"}, {"scan", "report"}},
      {"libpng", {"png.h"}, {"scan", "sheet"}},
      {"libtiff", {"tiffio.h", "tiff.h"}, {"scan"}},
      {"SQLite", {"sqlite3.h"}, {"ledger"}},
      {"CLI11", {"CLI/"}, {"tools"}},
  };
  return table;
}

}  // namespace sherdmark::architecture
