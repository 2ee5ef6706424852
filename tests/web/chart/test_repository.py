"""The chart in the database: what is appended, what is read, in how many queries."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from tests.fakes.clock import NOON, FixedClock
from tests.web.hospital import add_line, hospital_with_a_line, make_wards

from lumenkeep.core.policy import load_policy
from lumenkeep.errors import StoreError
from lumenkeep.ward.chart.models import EntryRow, LineNow, LinePlace, PolicyVersion
from lumenkeep.ward.chart.records import Draft
from lumenkeep.ward.chart.store.policies import PoliciesInForce
from lumenkeep.ward.chart.store.repository import ChartRepository

pytestmark = pytest.mark.django_db


@pytest.fixture
def clock() -> FixedClock:
    return FixedClock()


@pytest.fixture
def chart(clock) -> ChartRepository:
    return hospital_with_a_line(clock)


def _finding(**changed) -> Draft:
    draft = Draft("c-1", "l-1", "finding", NOON, "s-1", {"findings": ["damp"]})
    return replace(draft, **changed)


def test_an_entry_comes_back_as_it_was_written(chart, clock) -> None:
    (entry,) = chart.append([_finding()], "quillmere")

    policy = load_policy("quillmere")
    assert entry == chart.entries("l-1")[-1]
    assert (entry.happened_at, entry.written_at) == (NOON, NOON)
    assert entry.body == {"findings": ["damp"]}
    assert entry.policy == f"quillmere {policy.version} {policy.digest}"
    assert chart.newest_entry() == entry.id


def test_a_form_sent_twice_is_written_once(chart) -> None:
    first = chart.append([_finding(), _finding()], "quillmere", submission="form-1")
    again = chart.append([_finding(), _finding()], "quillmere", submission="form-1")
    other = chart.append([_finding()], "quillmere", submission="form-2")

    assert again == first
    assert chart.written("form-1") == first
    assert other[0].id == first[-1].id + 1


def test_the_policy_is_recorded_once_and_can_be_read_again(chart, clock) -> None:
    chart.append([_finding()], "quillmere")
    chart.append([_finding()], "quillmere")

    row = PolicyVersion.objects.get()
    then = PoliciesInForce().in_force_at("quillmere", clock.now())
    assert row.digest == load_policy("quillmere").digest == then.digest
    assert then.exclusions == load_policy("quillmere").exclusions
    assert PoliciesInForce().in_force_at("quillmere", NOON - timedelta(days=9)) is None


def test_the_ward_sees_a_finding_at_once(chart) -> None:
    (entry,) = chart.append([_finding()], "quillmere")

    (line,) = chart.lines_in("kestrel")
    assert [f.kind for f in line.state.case.line.dressing.findings] == ["damp"]
    assert line.last_entry == entry.id


def test_what_is_said_of_a_child_reaches_all_its_lines(chart, clock) -> None:
    LinePlace.objects.create(key="l-2", child_id="c-1")
    inserted = Draft("c-1", "l-2", "line-inserted", NOON, "s-1", {"kind": "port"})
    chart.append([inserted], "quillmere")

    chart.append(
        [Draft("c-1", None, "weight", NOON, "s-1", {"g": 17_000.0})], "quillmere"
    )

    lines = chart.lines_in("kestrel")
    assert [line.state.case.child.weights[-1].grams for line in lines] == [17_000] * 2


def test_a_child_who_moves_takes_the_line_along(chart) -> None:
    stay = {"ward": "heron", "bed": "11", "unit": "ward"}
    chart.append([Draft("c-1", None, "stay", NOON, "s-1", stay)], "quillmere")

    assert chart.lines_in("kestrel") == []
    (line,) = chart.lines_in("heron")
    assert (line.bed, line.side, line.state.case.child.unit) == ("11", "left", "ward")


def test_a_removed_line_leaves_the_ward_and_stays_on_the_chart(chart) -> None:
    chart.append([Draft("c-1", "l-1", "line-removed", NOON, "s-1", {})], "quillmere")

    assert chart.lines_in(None) == []
    assert chart.line("l-1").state.removed_at == NOON


def test_a_line_whose_insertion_is_taken_back_is_gone(chart) -> None:
    inserted = next(e for e in chart.entries("l-1") if e.kind == "line-inserted")
    back = Draft("c-1", "l-1", "withdrawn", NOON, "s-1", {}, inserted.id)
    chart.append([back], "quillmere")

    assert chart.lines_in(None) == []
    record = chart.line("l-1")
    assert record is not None
    assert record.state.is_taken_back


@pytest.mark.parametrize(
    ("draft", "code"),
    [
        (_finding(kind="song"), "chart-entry-refused"),
        (_finding(line=None), "chart-entry-refused"),
        (_finding(kind="weight"), "chart-entry-refused"),
        (_finding(line="l-9"), "chart-entry-refused"),
        (_finding(child="c-9", line="l-9"), "chart-entry-refused"),
        (_finding(corrects=999), "chart-entry-refused"),
        (_finding(corrects=-1), "chart-entry-refused"),
    ],
)
def test_what_does_not_fit_is_refused_and_nothing_is_written(
    chart, draft, code
) -> None:
    before = EntryRow.objects.count()

    with pytest.raises(StoreError) as caught:
        chart.append([_finding(), draft], "quillmere")

    assert caught.value.fault.code == code
    assert EntryRow.objects.count() == before


def test_an_entry_of_another_child_s_line_is_refused(chart, clock) -> None:
    add_line(chart, clock, 2)

    with pytest.raises(StoreError):
        chart.append([_finding(line="l-2")], "quillmere")


def test_a_second_correction_names_the_first(chart) -> None:
    (wrong,) = chart.append([_finding()], "quillmere")
    (right,) = chart.append([_finding(corrects=wrong.id)], "quillmere")

    with pytest.raises(StoreError, match=f"by entry {right.id}") as caught:
        chart.append([_finding(corrects=wrong.id)], "quillmere")

    assert caught.value.fault.code == "chart-corrected-already"


@pytest.mark.parametrize("lines", [10, 200])
def test_a_ward_of_any_size_is_one_query(clock, lines) -> None:
    make_wards()
    chart = ChartRepository(clock)
    add_line(chart, clock, 0)
    row = LineNow.objects.get()
    LinePlace.objects.bulk_create(LinePlace(f"l-{n}", "c-0") for n in range(1, lines))
    LineNow.objects.bulk_create(
        LineNow(f"l-{n}", row.ward_id, row.bed, row.side, row.state, row.last_entry)
        for n in range(1, lines)
    )

    with CaptureQueriesContext(
        connection,
    ) as queries:
        found = chart.lines_in("kestrel")

    assert len(found) == lines
    assert len(queries) == 1


def test_a_row_of_an_older_format_is_folded_anew(chart) -> None:
    (before,) = chart.lines_in(None)
    LineNow.objects.update(state="[0]")

    assert chart.lines_in(None) == [before]


def test_no_message_holds_a_name(chart) -> None:
    with pytest.raises(StoreError) as caught:
        chart.append([_finding(kind="song")], "quillmere")

    assert "Sorrel" not in str(caught.value)
