// One row of a table → one catalog row, every cell looked at, every problem reported. Called by read_catalog.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "catalog/columns.h"
#include "catalog/number_cell.h"
#include "sherdmark/catalog/read_catalog.h"

namespace sherdmark {

class RowReader {
 public:
  // All references must outlive this.
  RowReader(const Table& table, const HouseStandard& standard, const std::vector<Column>& columns,
            std::vector<CatalogProblem>& problems);

  struct Outcome {
    bool good = true;
    bool has_number = false;  // row.number is a number even if the row is not good
  };
  // Fills `row` from table row `index`.
  Outcome read(std::size_t index, CatalogRow& row);

 private:
  struct Place {  // of the cell being read
    const Column* column = nullptr;
    std::string_view value{};
  };

  struct Above {  // a column's cell in the row before, where nothing was odd about it
    std::string_view cell{};
    SharedText text{};
  };

  // A cell of a text field; one that repeats the cell above shares its text.
  void read_shared(std::size_t column, std::string_view cell, SharedText& target);
  [[nodiscard]] std::string read_text_of(Field field, std::string_view cell);
  void read_cell(const Column& column, std::string_view cell, CatalogRow& row);
  void read_number_cell(std::string_view cell, CatalogRow& row);
  [[nodiscard]] std::string read_identifier(std::string_view cell);
  [[nodiscard]] std::string read_text(std::string_view cell);
  void read_numeric(std::string_view cell, CatalogRow& row);
  [[nodiscard]] std::string read_date_cell(std::string_view cell);
  [[nodiscard]] std::string read_place(std::string_view cell);
  void read_kind(std::string_view cell, CatalogRow& row);
  void read_bag_cell(std::string_view cell, CatalogRow& row);
  void read_depths(std::string_view cell, CatalogRow& row);
  void read_list(std::string_view cell, std::vector<std::string>& target);
  void check_identifier_damage(std::string_view text);
  void check_care_flag(std::string_view written);
  void check_whole_row(CatalogRow& row);
  void check_prefix(CatalogRow& row, const Scheme& scheme, NumberLevel level, SharedText& column_text, Field field);
  [[nodiscard]] std::string clean(std::string_view cell, bool identifier);
  [[nodiscard]] const Scheme* scheme_for(std::size_t index);

  void problem(std::string what, std::string remedy, std::string_view detail = {});
  void warn(std::string what, std::string remedy, std::string_view detail = {});
  void report(Severity severity, std::string what, std::string remedy, std::string_view detail);
  void set_place(Field field, std::size_t index);

  const Table& table_;
  const HouseStandard& standard_;
  const std::vector<Column>& columns_;
  std::vector<CatalogProblem>& problems_;
  std::size_t accession_column_;
  std::vector<Above> above_;       // by column
  std::string known_accession_{};  // of the row before, with its scheme
  const Scheme* known_scheme_ = nullptr;
  Place place_{};
  std::size_t file_row_ = 0;
  Outcome outcome_{};
};

}  // namespace sherdmark
