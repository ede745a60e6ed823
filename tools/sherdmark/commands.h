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
[[nodiscard]] Subcommand read_command(const Session& session);
[[nodiscard]] Subcommand check_command(const Session& session);
[[nodiscard]] Subcommand show_command(const Session& session);
[[nodiscard]] Subcommand history_command(const Session& session);
[[nodiscard]] Subcommand export_command(const Session& session);

}  // namespace sherdmark
