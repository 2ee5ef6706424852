"""What a charted fact makes due is due since that fact, not since the dressing."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

import pytest
from tests.fakes.chart_lines import read, row

from lumenkeep.core.due import dressing_task
from lumenkeep.core.policy import load_policy, shipped_sets
from lumenkeep.core.reading.read_chart import read_chart

if TYPE_CHECKING:
    from lumenkeep.core.due import DueTask

AT = datetime(2026, 11, 24, 9, 10, tzinfo=UTC)
SEEN = "2026-11-24T08:59:00+00:00"
WORN = "2026-11-23T15:45:00+00:00"
LINE: tuple[tuple[str, dict[str, Any]], ...] = (
    ("birth", {"born": "2019-06-01T08:00+00:00", "gestation": "39w0d"}),
    ("weight", {"g": 21_000}),
    ("sensitivities", {"known": []}),
    ("line-inserted", {"kind": "picc", "dressing": "transparent-chg-gel"}),
)


LINE_OF = dict.fromkeys(("birth", "weight", "sensitivities", "skin"))


def told(*later: tuple[str, str, dict[str, Any]], name: str = "quillmere") -> DueTask:
    rows = [
        row(n, kind, body, happened_at=WORN, line=LINE_OF.get(kind, "l-1"))
        for n, (kind, body) in enumerate(LINE, 1)
    ]
    rows += [
        row(len(LINE) + n, kind, body, happened_at=at, line=LINE_OF.get(kind, "l-1"))
        for n, (at, kind, body) in enumerate(later, 1)
    ]
    [line] = read_chart(read(*rows), AT, load_policy(name), UTC)
    task = dressing_task(line.tasks)
    assert task is not None
    return task


@pytest.mark.parametrize("name", shipped_sets())
@pytest.mark.parametrize(
    ("kind", "body"),
    [
        ("site-check", {"signs": ["skin-broken"]}),
        ("skin", {"state": "broken"}),
        ("sensitivities", {"known": ["chlorhexidine"]}),
    ],
)
def test_a_bar_counts_from_when_its_fact_was_charted(
    name: str, kind: str, body: dict[str, Any]
) -> None:
    task = told((SEEN, kind, body), name=name)

    assert task.is_now
    assert task.due_at == datetime.fromisoformat(SEEN)


def test_an_allergy_told_of_again_counts_from_the_first_time() -> None:
    again = {"known": ["chlorhexidine", "silicone"]}

    task = told(
        (SEEN, "sensitivities", {"known": ["chlorhexidine"]}),
        ("2026-11-24T09:05:00+00:00", "sensitivities", again),
    )

    assert task.due_at == datetime.fromisoformat(SEEN)


def test_a_dressing_put_on_over_broken_skin_counts_from_when_it_went_on() -> None:
    on = "2026-11-24T09:05:00+00:00"

    task = told(
        (SEEN, "site-check", {"signs": ["skin-broken"]}),
        (on, "dressing-change", {"dressing": "transparent", "because": "damp"}),
    )

    assert task.due_at == datetime.fromisoformat(on)
