"""The guards that keep runs, accounts and closings as they were written."""

from __future__ import annotations

from lumenkeep.ward.site.guarding import append_only

GUARDS = append_only(
    app="guide",
    migration="0002_guard_what_was_told",
    replaces={
        "guide_run": "key = NEW.key",
        "guide_account": (
            "id = NEW.id OR (run_id = NEW.run_id AND digest = NEW.digest)"
            " OR (run_id = NEW.run_id AND fate = 'written' AND NEW.fate = 'written')"
        ),
        "guide_closing": "run_id = NEW.run_id",
    },
)
TABLES = GUARDS.tables
guard, unguard = GUARDS.guard, GUARDS.unguard
guard_names = GUARDS.names
