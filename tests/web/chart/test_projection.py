"""The lines kept ready for the ward are exactly what the entries come to."""

from __future__ import annotations

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.fakes.clock import NOON, FixedClock
from tests.fakes.demo import demo_at

from lumenkeep.core.entries import line_state
from lumenkeep.core.model.entry import Entry
from lumenkeep.demo.hospital import ZONE
from lumenkeep.ward.chart.models import LineNow, LinePlace
from lumenkeep.ward.chart.store.load import load
from lumenkeep.ward.chart.store.projection import (
    END_OF_TIME,
    entries_by_line,
    fold,
    project_all,
)
from lumenkeep.ward.chart.store.repository import ChartRepository
from lumenkeep.ward.chart.store.state_json import for_ward, from_json, to_json

ZONES = {"kestrel": ZONE}
INSTANTS = st.datetimes(
    min_value=datetime(2026, 8, 1),  # noqa: DTZ001
    max_value=datetime(2026, 11, 25),  # noqa: DTZ001
    timezones=st.just(UTC),
)
BODIES = {
    "birth": st.fixed_dictionaries(
        {
            "born": st.sampled_from(["2026-07-30", "2026-07-30T10:11:12.000013+00:00"]),
            "gestation": st.sampled_from([None, "27w3d", "31w"]),
        }
    ),
    "weight": st.fixed_dictionaries({"g": st.floats(300, 90_000, allow_nan=False)}),
    "sensitivities": st.fixed_dictionaries(
        {"known": st.lists(st.sampled_from(["iodine", "latex"]), unique=True)}
    ),
    "skin": st.fixed_dictionaries({"state": st.sampled_from(["intact", "broken"])}),
    "stay": st.fixed_dictionaries(
        {
            "ward": st.sampled_from(["kestrel", "nowhere"]),
            "bed": st.sampled_from(["01", "02"]),
            "unit": st.sampled_from([None, "ward"]),
        }
    ),
    "dressing-change": st.fixed_dictionaries(
        {
            "dressing": st.sampled_from([None, "gauze", "transparent"]),
            "external_length_mm": st.sampled_from([None, 0, 12, 12.5]),
            "stitches": st.sampled_from([None, 0, 2]),
            "skin": st.sampled_from([None, "intact", "broken"]),
            "because": st.sampled_from(["planned", "damp"]),
        }
    ),
    "finding": st.fixed_dictionaries(
        {"findings": st.lists(st.sampled_from(["damp", "loose"]), min_size=1)}
    ),
    "re-cover": st.fixed_dictionaries(
        {"findings": st.lists(st.sampled_from(["damp", "loose"]), max_size=2)}
    ),
    "set-change": st.fixed_dictionaries(
        {
            "set": st.sampled_from(["main", "fat"]),
            "kind": st.sampled_from([None, "plain", "lipid"]),
        }
    ),
    "connector-change": st.just({}),
    "needle-change": st.just({}),
    "line-review": st.just({}),
    "site-check": st.just({}),
    "line-removed": st.just({"reason": "no longer needed"}),
}
CHILD = ("birth", "weight", "sensitivities", "skin", "stay")


@st.composite
def charts(draw) -> list[Entry]:
    """A line's entries in the order of writing, corrections and withdrawals too."""
    start = datetime(2026, 8, 1, tzinfo=UTC)
    body = {"kind": "picc", "site": "scalp", "side": None, "lumens": 1, "stitches": 1,
            "external_length_mm": 10, "dressing": draw(st.sampled_from([None, "gauze"]))}  # fmt: skip
    entries = [Entry(1, "c", "l", "line-inserted", start, start, "s", "p", None, body)]
    for number in range(2, draw(st.integers(2, 14))):
        free = [
            e for e in entries[1:]
            if e.id not in {other.corrects for other in entries}
        ]  # fmt: skip
        wrong = draw(st.sampled_from(free)) if free and draw(st.booleans()) else None
        kind = wrong.kind if wrong else draw(st.sampled_from(sorted(BODIES)))
        if wrong and (kind == "withdrawn" or draw(st.booleans())):
            kind = "withdrawn"
        body = {} if kind == "withdrawn" else draw(BODIES[kind])
        line = wrong.line if wrong else (None if kind in CHILD else "l")
        at = draw(INSTANTS)
        entries.append(
            Entry(number, "c", line, kind, at, at, "s", "p", wrong and wrong.id, body)
        )
    return entries


@given(charts(), st.sampled_from([UTC, ZONE, ZoneInfo("Europe/Rome")]))
def test_a_state_comes_back_from_its_text_unchanged(entries, zone) -> None:
    state = line_state(entries, END_OF_TIME, zone)

    assert from_json(to_json(state), zone) == state


@given(charts())
def test_what_the_ward_drops_changes_no_answer_about_now(entries) -> None:
    folded = fold(entries, ZONES)
    short = for_ward(folded.state, folded.newest)

    assert short.case.line == folded.state.case.line
    assert short.changes[-1:] == folded.state.changes[-1:]
    assert short.lengths[:1] == folded.state.lengths[:1]
    assert short.lengths[-1:] == folded.state.lengths[-1:]
    assert short.case.child.weights == folded.state.case.child.weights[-1:]


@pytest.mark.django_db
def test_the_projection_of_the_demo_is_the_fold_of_its_entries() -> None:
    hospital = demo_at(NOON)
    load(
        hospital.wards,
        [(child.key, child.name) for child in hospital.children],
        [(line.key, line.child) for line in hospital.lines],
        hospital.entries,
        lambda _: None,
    )
    chart = ChartRepository(FixedClock())

    ready = {line.key: line for line in chart.lines_in(None)}
    entries = entries_by_line(list(LinePlace.objects.values_list("key", flat=True)))
    for key, written in entries.items():
        folded = fold(written, {w.key: w.zone for w in hospital.wards})
        if folded.state.removed_at is not None:
            assert key not in ready
            continue
        assert ready[key].state == for_ward(folded.state, folded.newest)
        assert ready[key].last_entry == folded.last_entry
        assert (ready[key].ward, ready[key].bed) == (
            folded.place.ward,
            folded.place.bed,
        )
    rows = set(LineNow.objects.values_list("line_id", "state"))
    assert project_all() == len(rows)
    assert set(LineNow.objects.values_list("line_id", "state")) == rows
