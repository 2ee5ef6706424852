"""Charting a dressing change: what is refused, what is kept, what falls due next."""

from __future__ import annotations

from datetime import timedelta

import pytest
from tests.fakes.by_hand import chart_change
from tests.fakes.chart import ShippedPolicies, chart_with_a_line
from tests.fakes.clock import NOON, FixedClock

from lumenkeep.core.due import due_tasks
from lumenkeep.core.policy import load_policy
from lumenkeep.errors import ChartError

POLICIES = ShippedPolicies()
GOOD = {
    "chart-changed-at": "2026-11-25T11:30",
    "chart-site": "healthy",
    "chart-external-length": "21,5",
    "chart-stitches": "0",
    "chart-tolerance": "calm",
    "chart-problems": "",
    "chart-outcome": "holds",
    "dressing": "transparent-chg-gel",
    "agent": "chlorhexidine-alcohol",
    "because": "planned",
    "assistant": "s-2",
}


def _chart(typed, clock=None, line="l-1", submission=None, chart=None):
    clock = clock or FixedClock()
    chart = chart or chart_with_a_line(clock)
    written = chart_change(
        chart, POLICIES, clock, line=line, typed=typed, by="s-1", submission=submission
    )
    return chart, written


def _faults(typed, **kw) -> dict[str, str]:
    with pytest.raises(ChartError) as caught:
        _chart(typed, **kw)
    return {fault.where: fault.code for fault in caught.value.faults}


def test_a_good_form_becomes_one_entry_with_what_was_typed() -> None:
    _, (entry,) = _chart(GOOD)

    assert entry.kind == "dressing-change"
    assert entry.happened_at == NOON - timedelta(minutes=30)
    assert entry.body == {
        "dressing": "transparent-chg-gel",
        "agent": "chlorhexidine-alcohol",
        "because": "planned",
        "assistant": "s-2",
        "site": "healthy",
        "external_length_mm": 21.5,
        "stitches": 0,
        "tolerance": "calm",
        "outcome": "holds",
    }


def test_the_next_due_time_runs_from_the_actual_change() -> None:
    chart, _ = _chart(GOOD)

    state = chart.line("l-1").state
    dressing = next(
        t
        for t in due_tasks(state.case, NOON, load_policy("quillmere"))
        if t.task == "dressing"
    )
    assert dressing.since == NOON - timedelta(minutes=30)
    assert dressing.due_at == NOON - timedelta(minutes=30) + timedelta(days=7)


def test_an_empty_form_names_every_required_field_at_once() -> None:
    assert _faults({}) == {
        "dressing": "chart-missing",
        "agent": "chart-missing",
        "chart-changed-at": "chart-missing",
        "chart-site": "chart-missing",
        "chart-external-length": "chart-missing",
        "chart-stitches": "chart-missing",
        "chart-tolerance": "chart-missing",
        "chart-outcome": "chart-missing",
    }


@pytest.mark.parametrize(
    ("field", "typed", "code"),
    [
        ("chart-changed-at", "2026-11-25T12:01", "chart-in-the-future"),
        ("chart-changed-at", "2026-11-15T11:59", "chart-too-long-ago"),
        ("chart-changed-at", "2026-11-21T11:59", "chart-too-long-ago"),
        ("chart-changed-at", "yesterday", "chart-bad-instant"),
        ("chart-changed-at", "0001-01-01T00:00", "chart-too-long-ago"),
        ("chart-changed-at", "9999-12-31T23:59", "chart-bad-instant"),
        ("chart-external-length", "twenty", "chart-not-a-number"),
        ("chart-external-length", "-3", "chart-not-a-number"),
        ("chart-external-length", "nan", "chart-not-a-number"),
        ("chart-external-length", "1e3", "chart-not-a-number"),
        ("chart-external-length", "600.5", "chart-out-of-range"),
        ("chart-stitches", "13", "chart-out-of-range"),
        ("chart-stitches", "1.5", "chart-not-a-number"),
        ("chart-site", "odd", "chart-unknown-word"),
        ("agent", "soap", "chart-unknown-word"),
        ("dressing", "plaster", "chart-unknown-word"),
        ("because", "boredom", "chart-unknown-word"),
        ("chart-outcome", "x" * 2001, "chart-too-long"),
    ],
)
def test_what_cannot_be_is_refused_with_its_field(field, typed, code) -> None:
    assert _faults({**GOOD, field: typed}) == {field: code}


def test_a_length_at_its_limit_is_taken() -> None:
    typed = {"chart-external-length": "600 mm", "chart-external-length-sure": "600"}
    _, (entry,) = _chart({**GOOD, **typed})

    assert entry.body["external_length_mm"] == 600


def test_nothing_is_written_when_something_is_wrong() -> None:
    clock = FixedClock()
    chart = chart_with_a_line(clock)
    before = chart.newest_entry()

    _faults({**GOOD, "chart-site": "odd"}, chart=chart, clock=clock)

    assert chart.newest_entry() == before


def test_a_form_sent_twice_is_written_once() -> None:
    clock = FixedClock()
    chart, first = _chart(GOOD, clock=clock, submission="form-1")
    _, again = _chart(GOOD, clock=clock, chart=chart, submission="form-1")

    assert again == first


def test_connectors_changed_with_the_dressing_are_charted_too() -> None:
    _, written = _chart({**GOOD, "connectors": "yes"})

    assert [e.kind for e in written] == ["dressing-change", "connector-change"]


def test_a_port_asks_for_no_length_and_no_stitches() -> None:
    clock = FixedClock()
    chart = chart_with_a_line(
        clock, kind="port", site="chest", external_length_mm=None, stitches=None
    )
    typed = {
        k: v for k, v in GOOD.items() if k[6:] not in ("external-length", "stitches")
    }

    _, (entry,) = _chart(typed, clock=clock, chart=chart)

    assert "external_length_mm" not in entry.body


def test_a_site_with_broken_skin_says_so_of_the_skin() -> None:
    chart, _ = _chart({**GOOD, "chart-site": "skin broken"})

    assert chart.line("l-1").state.case.line.skin_at_site == "broken"


def test_a_line_that_is_out_takes_no_change() -> None:
    clock = FixedClock()
    chart = chart_with_a_line(clock)
    from lumenkeep.ward.chart.records import Draft

    out = Draft("c-1", "l-1", "line-removed", NOON - timedelta(hours=1), "s-1", {})
    chart.append([out], "quillmere")

    assert _faults(GOOD, chart=chart, clock=clock) == {"line": "chart-line-removed"}


def test_an_unknown_line_is_named_as_such() -> None:
    assert _faults(GOOD, line="l-9") == {"line": "chart-no-such-line"}


def test_a_wall_time_that_the_clocks_skip_is_refused() -> None:
    clock = FixedClock(NOON.replace(month=3, day=8, hour=20))
    typed = {**GOOD, "chart-changed-at": "2026-03-08T02:30"}

    assert _faults(typed, clock=clock) == {"chart-changed-at": "chart-time-skipped"}


def test_a_wall_time_that_comes_twice_is_the_later_one_that_has_been() -> None:
    typed = {**GOOD, "chart-changed-at": "2026-11-01T01:30"}
    first_time = NOON.replace(day=1, hour=6, minute=30)

    _, (entry,) = _chart(typed, clock=FixedClock(first_time + timedelta(minutes=20)))
    assert entry.happened_at == first_time
    _, (entry,) = _chart(typed, clock=FixedClock(first_time + timedelta(hours=5)))
    assert entry.happened_at == first_time + timedelta(hours=1)


def test_no_message_holds_the_child_s_name_or_what_was_typed() -> None:
    with pytest.raises(ChartError) as caught:
        _chart({"chart-site": "Demo Sorrel", "chart-external-length": "Demo Sorrel"})

    assert "Sorrel" not in str(caught.value)


def test_a_reason_that_nobody_gives_stays_unknown() -> None:
    chart, (entry,) = _chart(GOOD | {"because": ""})

    assert "because" not in entry.body
    assert chart.line("l-1").state.changes[-1][1] == ""
