"""Entries of an invented line, told in days from its insertion."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

from lumenkeep.core.model.entry import Entry

START = datetime(2026, 3, 2, 10, tzinfo=UTC)


class Told:
    """Gathers entries; each ``day`` counts from `START`."""

    def __init__(self, child: str = "c-1", line: str = "l-1") -> None:
        self.child, self.line = child, line
        self.entries: list[Entry] = []

    def add(
        self,
        kind: str,
        day: float,
        /,
        *,
        corrects: int | None = None,
        of_child: bool = False,
        **body: Any,
    ) -> int:
        """Add an entry and return its id."""
        at = START + timedelta(days=day)
        number = len(self.entries) + 1
        line = None if of_child else self.line
        self.entries.append(
            Entry(
                number, self.child, line, kind, at, at, "s-1", "set 1 x", corrects, body
            )
        )
        return number

    def insert(self, dressing: str | None = "transparent", **more: Any) -> int:
        """Insert the line on day 0, on a child of four on Kestrel."""
        born = (START - timedelta(days=4 * 365.25 + 10)).isoformat()
        self.add("stay", -1, of_child=True, ward="kestrel", bed="04")
        self.add("birth", -1, of_child=True, born=born, gestation=None)
        told = {"kind": "picc", "site": "upper-arm", "dressing": dressing, **more}
        return self.add("line-inserted", 0, **told)

    def change(self, day: float, because: str | None = "planned", **more: Any) -> int:
        """Change the dressing."""
        told = {"dressing": "transparent", "because": because, **more}
        return self.add("dressing-change", day, **told)

    def find(self, day: float, *findings: str) -> int:
        """Chart findings."""
        return self.add("finding", day, findings=list(findings), note="")
