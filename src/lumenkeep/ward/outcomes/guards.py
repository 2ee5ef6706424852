"""The guards that keep hours, counts and baselines as they were entered."""

from __future__ import annotations

from lumenkeep.ward.site.guarding import append_only

GUARDS = append_only(
    app="outcomes",
    migration="0002_guard_what_was_entered",
    replaces={
        "outcomes_hour": "id = NEW.id",
        "outcomes_hand_count": (
            "id = NEW.id OR corrects_id = NEW.corrects_id OR submission = NEW.submission"
            ' OR (ward_id = NEW.ward_id AND "on" = NEW."on"'
            " AND corrects_id IS NULL AND NEW.corrects_id IS NULL)"
        ),
        "outcomes_baseline": (
            "id = NEW.id OR corrects_id = NEW.corrects_id OR submission = NEW.submission"
        ),
    },
)
TABLES = GUARDS.tables
guard, unguard = GUARDS.guard, GUARDS.unguard
guard_names = GUARDS.names
