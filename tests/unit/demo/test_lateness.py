"""Some planned changes of the demo wards came late, and nothing else has moved."""

from __future__ import annotations

from datetime import timedelta
from itertools import pairwise

from tests.fakes.clock import NOON
from tests.fakes.demo import demo_at


def test_some_planned_changes_come_after_their_week_and_the_last_never_does() -> None:
    late, last_late = 0, 0
    rows: dict[str, list] = {}
    for entry in demo_at(NOON).entries:
        if entry.kind == "dressing-change" and entry.line is not None:
            rows.setdefault(entry.line, []).append(entry)
    for row in rows.values():
        row.sort(key=lambda e: e.happened_at)
        gaps = [
            after.happened_at - before.happened_at > timedelta(days=7)
            for before, after in pairwise(row)
            if after.body.get("because") == "planned"
        ]
        late += sum(gaps)
        last_late += sum(gaps[-1:])

    assert 5 <= late <= 60
    assert late > last_late
