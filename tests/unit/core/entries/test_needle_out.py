"""A port needle that comes out takes its dressing off."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from tests.fakes.chart_lines import read, row

from lumenkeep.core.entries import line_state
from lumenkeep.core.model import Unknown
from lumenkeep.core.policy import load_policy, shipped_sets
from lumenkeep.core.reading.read_chart import read_chart
from lumenkeep.files.case.case_file import case_from_mapping
from lumenkeep.files.case.mapping import case_as_mapping
from lumenkeep.ward.chart.pages.facts import line_facts
from lumenkeep.ward.chart.store.state_json import from_json, to_json

AT = datetime(2026, 11, 24, 9, tzinfo=UTC)
ON = ("dressing-change", {"dressing": "transparent-chg-gel", "because": "planned"})
OUT = ("needle-change", {"doing": "out"})
Told = tuple[str, dict[str, Any]]


def charted(*told: Told) -> list[Any]:
    rows = [
        row(1, "birth", {"born": "2019-06-01T08:00+00:00"}, line=None),
        row(2, "sensitivities", {"known": ["chlorhexidine"]}, line=None),
        row(3, "line-inserted", {"kind": "port"}),
    ]
    since = AT - timedelta(hours=len(told))
    for hours, (kind, body) in enumerate(told):
        at = (since + timedelta(hours=hours)).isoformat()
        rows.append(row(len(rows) + 1, kind, body, happened_at=at))
    return list(read(*rows))


def test_no_dressing_is_told_as_worn_once_the_needle_is_out() -> None:
    entries = charted(("needle-change", {"doing": "in"}), ON, OUT)

    state = line_state(entries, AT, UTC)
    [dressing, *_] = line_facts(state.case, entries, AT, UTC)

    assert isinstance(state.case.line.dressing.kind, Unknown)
    assert dressing.value == "None on: came off with the needle"
    assert not dressing.is_unknown
    assert from_json(to_json(state), UTC) == state


@pytest.mark.parametrize("name", shipped_sets())
def test_a_dressing_that_is_off_is_neither_barred_nor_asked_for(name: str) -> None:
    entries = charted(("needle-change", {"doing": "in"}), ON, OUT)

    [line] = read_chart(entries, AT, load_policy(name), UTC)
    case = line.reading.state.case
    mapped = case_as_mapping(case)

    assert [task.task for task in line.tasks if task.task == "dressing"] == []
    assert mapped["line"]["dressing"]["is_off"] is True
    again = case_from_mapping(mapped, "case").line.dressing
    assert again.is_off
    assert again.findings == ()


def test_what_bleeds_under_no_dressing_is_still_due() -> None:
    look = ("site-check", {"signs": ["bleeding"]})
    [line] = read_chart(charted(ON, OUT, look), AT, load_policy("quillmere"), UTC)

    [task] = [task for task in line.tasks if task.task == "dressing"]
    assert task.is_now
    assert task.asks == ()


@pytest.mark.parametrize(
    "then",
    [("needle-change", {"doing": "in"}), ("set-change", {"kind": "plain"})],
)
def test_a_needle_that_is_in_again_has_a_dressing_of_unknown_kind(then: Told) -> None:
    [line] = read_chart(charted(ON, OUT, then), AT, load_policy("quillmere"), UTC)

    dressing = line.reading.state.case.line.dressing
    [task] = [task for task in line.tasks if task.task == "dressing"]
    assert not dressing.is_off
    assert task.asks[0] == "Which dressing is on the line?"


def test_a_dressing_put_on_afterwards_is_worn() -> None:
    state = line_state(charted(ON, OUT, ON), AT, UTC)

    assert state.case.line.dressing.kind == "transparent-chg-gel"
