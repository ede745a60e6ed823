// One function a subcommand: its name, what it says of itself, its options and what it does.
#pragma once

#include "command.h"
#include "session.h"

namespace sherdmark {

[[nodiscard]] Subcommand init_command(const Session& session);
[[nodiscard]] Subcommand intake_command(const Session& session);
[[nodiscard]] Subcommand plan_command(const Session& session);
[[nodiscard]] Subcommand labels_command(const Session& session);
[[nodiscard]] Subcommand printed_command(const Session& session);
[[nodiscard]] Subcommand type_command(const Session& session);
[[nodiscard]] Subcommand calibrate_command(const Session& session);
[[nodiscard]] Subcommand soak_test_command(const Session& session);
[[nodiscard]] Subcommand bench_command(const Session& session);
[[nodiscard]] Subcommand move_command(const Session& session);
[[nodiscard]] Subcommand loan_command(const Session& session);
[[nodiscard]] Subcommand split_command(const Session& session);
[[nodiscard]] Subcommand combine_command(const Session& session);
[[nodiscard]] Subcommand recount_command(const Session& session);
[[nodiscard]] Subcommand renumber_command(const Session& session);
[[nodiscard]] Subcommand void_command(const Session& session);
[[nodiscard]] Subcommand restrict_command(const Session& session);
[[nodiscard]] Subcommand assembly_command(const Session& session);
[[nodiscard]] Subcommand concordance_command(const Session& session);
[[nodiscard]] Subcommand scan_command(const Session& session);
[[nodiscard]] Subcommand read_command(const Session& session);
[[nodiscard]] Subcommand check_command(const Session& session);
[[nodiscard]] Subcommand grade_command(const Session& session);
[[nodiscard]] Subcommand review_command(const Session& session);
[[nodiscard]] Subcommand override_command(const Session& session);
[[nodiscard]] Subcommand show_command(const Session& session);
[[nodiscard]] Subcommand history_command(const Session& session);
[[nodiscard]] Subcommand inventory_command(const Session& session);
[[nodiscard]] Subcommand audit_command(const Session& session);
[[nodiscard]] Subcommand box_list_command(const Session& session);
[[nodiscard]] Subcommand export_command(const Session& session);
[[nodiscard]] Subcommand backup_command(const Session& session);
[[nodiscard]] Subcommand verify_ledger_command(const Session& session);
[[nodiscard]] Subcommand restore_command(const Session& session);
[[nodiscard]] Subcommand describe_command(const Session& session);
[[nodiscard]] Subcommand register_command(const Session& session);
[[nodiscard]] Subcommand standard_command(const Session& session);
[[nodiscard]] Subcommand reserve_command(const Session& session);
[[nodiscard]] Subcommand bind_command(const Session& session);
[[nodiscard]] Subcommand revise_command(const Session& session);
[[nodiscard]] Subcommand spares_command(const Session& session);

// All of them, as the program offers them (run.cpp).
[[nodiscard]] CommandLine whole_command_line(const Session& session);

}  // namespace sherdmark
