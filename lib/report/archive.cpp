#include "sherdmark/report/archive.h"

#include <fmt/format.h>

#include <fstream>
#include <set>

#include "report/archive_readme.h"
#include "sherdmark/base/error.h"
#include "sherdmark/base/folders.h"
#include "sherdmark/base/hash.h"
#include "sherdmark/base/text.h"
#include "sherdmark/base/unfinished.h"
#include "sherdmark/catalog/read_catalog.h"
#include "sherdmark/catalog/zip_files.h"
#include "sherdmark/ledger/record_tables.h"
#include "sherdmark/report/export_tables.h"

namespace sherdmark {
namespace {

namespace fs = std::filesystem;

constexpr std::string_view k_sums = "SHA256SUMS";
constexpr std::string_view k_ledger = "collection.ledger";
constexpr std::size_t k_rows_at_a_time = 2000;

std::string hash_of_file(const fs::path& file) {
  std::error_code none;
  std::ifstream in;
  if (fs::is_regular_file(file, none)) in.open(file, std::ios::binary);  // a pipe would keep us waiting
  if (!in.is_open())
    throw data_error("this file of the package is missing or cannot be read.", {.file = file.string()},
                     "Take another copy of the package.");
  Sha256 sum;
  std::vector<char> buffer(std::size_t{1} << 16U);
  while (in) {
    in.read(buffer.data(), static_cast<std::streamsize>(buffer.size()));
    sum.add(std::as_bytes(std::span{buffer.data(), static_cast<std::size_t>(in.gcount())}));
  }
  if (in.bad())
    throw environment_error("the file could not be read to its end.", {.file = file.string()},
                            "Check the medium, or take another copy of the package.");
  return sum.hex();
}

// Puts files into the unfinished package and keeps their fingerprints.
class Packer {
 public:
  Packer(FileSystem& files, fs::path folder) : files_(files), folder_(std::move(folder)) {}

  void put(const std::string& name, const std::function<void(const ByteSink&)>& produce) {
    Sha256 sum;
    files_.write_atomic(folder_ / name, [&](const ByteSink& sink) {
      produce([&](std::span<const std::byte> bytes) {
        sum.add(bytes);
        sink(bytes);
      });
    });
    put_already(name, sum.hex());
  }
  void put(const std::string& name, std::string_view text) {
    put(name, [text](const ByteSink& sink) { sink(as_byte_span(text)); });
  }
  void put_already(const std::string& name, std::string sha256) { done_.push_back({name, std::move(sha256)}); }

  // The form that sha256sum -c reads.
  void put_sums() {
    std::string text;
    for (const ArchivedFile& file : done_) text += file.sha256 + "  " + file.name + "\n";
    put(std::string{k_sums}, text);
  }
  [[nodiscard]] std::vector<ArchivedFile> take() { return std::move(done_); }

 private:
  FileSystem& files_;
  fs::path folder_;
  std::vector<ArchivedFile> done_;
};

// write_csv for tables of any length: every piece after the first loses its header line.
void write_table(const Ledger& ledger, const std::string& table, const ByteSink& sink) {
  const std::vector<std::string> header = record_table_columns(ledger, table);
  std::vector<std::vector<std::string>> rows;
  bool first = true;
  const auto flush = [&] {
    const std::string text = write_csv(header, rows);
    sink(as_byte_span(first ? std::string_view{text} : std::string_view{text}.substr(text.find('\n') + 1)));
    rows.clear();
    first = false;
  };
  for_each_record(ledger, table, [&](const std::vector<std::string>& cells) {
    rows.push_back(cells);
    if (rows.size() == k_rows_at_a_time) flush();
  });
  if (first || !rows.empty()) flush();
}

void put_placements(Packer& packer, FileSystem& files, const std::vector<fs::path>& placements) {
  std::set<std::string> names;
  for (const fs::path& file : placements) {
    if (!names.insert(file.filename().string()).second)
      throw usage_error(fmt::format("two placements files are called {}.", printable(file.filename().string())),
                        "Rename one of them; both would lie in the package under that name.");
    packer.put("placements/" + file.filename().string(), read_text(files, file));
  }
}

void put_everything(Packer& packer, const Ledger& ledger, const fs::path& folder) {
  packer.put("events.jsonl", [&](const ByteSink& sink) { sink(as_byte_span(events_jsonl(ledger))); });
  for (const std::string& table : record_table_names())
    packer.put("records/" + table + ".csv", [&](const ByteSink& sink) { write_table(ledger, table, sink); });
  (void)ledger.backup(folder / k_ledger);
  packer.put_already(std::string{k_ledger}, hash_of_file(folder / k_ledger));
}

std::vector<ArchivedFile> pack(const Ledger& ledger, FileSystem& files, const ArchiveRequest& request,
                               const fs::path& folder) {
  Packer packer{files, folder};
  const bool all = request.with_restricted;
  packer.put("README.txt", archive_readme(ledger, request));
  packer.put("catalog.csv", write_catalog_csv(ledger.catalog_rows(), ledger.standard(), all));
  packer.put("bags.csv", bags_csv(ledger, all));
  packer.put("labels.csv", labels_csv(ledger, all));
  packer.put("house-standard.toml", ledger.standard().source);
  for (const FormatPage& page : format_pages()) packer.put("formats/" + std::string{page.name}, page.text);
  put_placements(packer, files, request.placements);
  if (all) put_everything(packer, ledger, folder);
  packer.put_sums();
  return packer.take();
}

// Names in SHA256SUMS stay inside the folder, whoever wrote them.
bool stays_inside(const fs::path& name) {
  if (name.empty() || name.is_absolute()) return false;
  for (const fs::path& part : name)
    if (part == "..") return false;
  return true;
}

}  // namespace

std::vector<ArchivedFile> write_archive(const Ledger& ledger, FileSystem& files, const ArchiveRequest& request) {
  if (fs::exists(request.folder))
    throw environment_error("this is already there.", {.file = request.folder.string()},
                            "Name a new folder; an archive is never written over another.");
  try {
    const Unfinished made{request.folder};
    std::vector<ArchivedFile> packed = pack(ledger, files, request, made.path());
    fs::rename(made.path(), request.folder);
    sync_folder_of(made.path());
    return packed;
  } catch (const fs::filesystem_error& error) {
    throw environment_error(fmt::format("the archive could not be put into place ({}).", error.code().message()),
                            {.file = request.folder.string()}, "Check the folder and the room on the disk.");
  }
}

fs::path zip_of_archive(const fs::path& folder) {
  fs::path zip = folder;
  zip += ".zip";
  return zip;
}

std::vector<ArchivedFile> write_zipped_archive(const Ledger& ledger, FileSystem& files, const ArchiveRequest& request) {
  const fs::path zip = zip_of_archive(request.folder);
  const Unfinished made{request.folder};
  std::vector<ArchivedFile> packed = pack(ledger, files, request, made.path());
  pack_zip(made.path(), request.folder.filename().string(), zip);
  return packed;
}

fs::path ledger_in_archive(const fs::path& folder) {
  const std::string sums = read_text(real_file_system(), folder / k_sums);
  bool holds_ledger = false;
  for (const std::string& line : split(sums, '\n')) {
    if (line.empty()) continue;
    const std::size_t gap = line.find("  ");
    const std::string name = gap == std::string::npos ? std::string{} : line.substr(gap + 2);
    if (!stays_inside(name))
      throw data_error(fmt::format("this line names no file of the package: \"{}\".", printable(line)),
                       {.file = (folder / k_sums).string()}, "Take another copy of the package.");
    if (hash_of_file(folder / name) != line.substr(0, gap))
      throw data_error("the file is not as it was when the package was made.", {.file = (folder / name).string()},
                       "Take another copy of the package.");
    holds_ledger = holds_ledger || name == k_ledger;
  }
  if (!holds_ledger)
    throw data_error("this package was made without restricted columns and holds no ledger.", {.file = folder.string()},
                     "Restore from a backup, or from a package made --with-restricted.");
  return folder / k_ledger;
}

}  // namespace sherdmark
