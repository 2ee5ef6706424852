"""The guards that keep entries and policy versions as they were written."""

from __future__ import annotations

from lumenkeep.ward.site.guarding import append_only

GUARDS = append_only(
    app="chart",
    migration="0002_guard_what_was_written",
    replaces={
        "chart_entry": (
            "id = NEW.id OR corrects_id = NEW.corrects_id"
            " OR (submission = NEW.submission AND part = NEW.part)"
        ),
        "chart_policy_version": "id = NEW.id OR digest = NEW.digest",
    },
)
TABLES = GUARDS.tables
guard, unguard = GUARDS.guard, GUARDS.unguard
guard_names = GUARDS.names
