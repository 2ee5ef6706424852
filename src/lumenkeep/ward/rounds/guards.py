"""The guards that keep looks as they were written."""

from __future__ import annotations

from lumenkeep.ward.site.guarding import append_only

GUARDS = append_only(
    app="rounds",
    migration="0002_guard_the_looks",
    replaces={
        "rounds_look": (
            "id = NEW.id OR corrects_id = NEW.corrects_id"
            " OR submission = NEW.submission"
        )
    },
)
