#include "ledger/schema.h"

#include <array>

#include "ledger/schema_tables.h"

namespace sherdmark {
namespace {

constexpr std::array<std::string_view, 39> k_record_tables = {"collection",
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
                                                              "inventory_expected",
                                                              "inventory_seen",
                                                              "audits",
                                                              "audit_draws",
                                                              "soak_tests",
                                                              "event_subjects"};

}  // namespace

std::span<const std::string_view> record_tables() { return k_record_tables; }

void make_schema(Database& database) {
  database.execute(std::string{k_event_tables});
  database.execute(std::string{k_collection_tables});
  database.execute(std::string{k_label_tables});
  database.execute(std::string{k_work_tables});
  database.execute("PRAGMA application_id = " + std::to_string(k_application_id) +
                   "; PRAGMA user_version = " + std::to_string(k_schema_version));
}

}  // namespace sherdmark
