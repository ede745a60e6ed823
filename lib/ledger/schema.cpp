#include "ledger/schema.h"

#include <array>
#include <string>

#include "ledger/identity_rows.h"
#include "ledger/schema_tables.h"
#include "ledger/schema_version_2.h"
#include "ledger/schema_version_3.h"

namespace sherdmark {
namespace {

constexpr std::array<std::string_view, 51> k_record_tables = {"collection",
                                                              "persons",
                                                              "stations",
                                                              "standards",
                                                              "schemes",
                                                              "sites",
                                                              "accessions",
                                                              "accession_sites",
                                                              "places",
                                                              "boxes",
                                                              "proveniences",
                                                              "lots",
                                                              "assemblies",
                                                              "field_blocks",
                                                              "field_numbers",
                                                              "items",
                                                              "assembly_members",
                                                              "former_numbers",
                                                              "pieces",
                                                              "bags",
                                                              "bag_contents",
                                                              "decisions",
                                                              "planned_pieces",
                                                              "labels",
                                                              "runs",
                                                              "prints",
                                                              "checks",
                                                              "check_reasons",
                                                              "overrides",
                                                              "grades",
                                                              "loans",
                                                              "loan_bags",
                                                              "inventories",
                                                              "found_numbers",
                                                              "inventory_expected",
                                                              "inventory_seen",
                                                              "audits",
                                                              "audit_draws",
                                                              "soak_tests",
                                                              "printers",
                                                              "box_lists",
                                                              "concordance",
                                                              "filed_prints",
                                                              "closed_sheets",
                                                              "baggings",
                                                              "keyboards",
                                                              "scan_sessions",
                                                              "scans",
                                                              "reviews",
                                                              "override_times",
                                                              "event_subjects"};

std::string with_identities(std::string_view tables) {
  constexpr std::string_view k_place = "{identity}";
  std::string sql{tables};
  for (std::size_t at = sql.find(k_place); at != std::string::npos; at = sql.find(k_place))
    sql.replace(at, k_place.size(), identity_sql());
  return sql;
}

}  // namespace

std::span<const std::string_view> record_tables() { return k_record_tables; }

void bring_to_version_2(Database& database) { database.execute(std::string{k_version_2_tables}); }

void bring_to_version_3(Database& database) { database.execute(with_identities(k_version_3_identities)); }

void make_schema(Database& database) {
  for (const std::string_view tables : {k_event_tables, k_collection_tables, k_label_tables, k_work_tables})
    database.execute(with_identities(tables));
  bring_to_version_2(database);
  bring_to_version_3(database);
  database.execute("PRAGMA application_id = " + std::to_string(k_application_id) +
                   "; PRAGMA user_version = " + std::to_string(k_schema_version));
}

}  // namespace sherdmark
