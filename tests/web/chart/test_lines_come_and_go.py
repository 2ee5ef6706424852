"""Lines come on to the chart, children move, lines go out: through Django's client."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

import pytest
from django.contrib.auth.models import User
from tests.web.hospital import add_line, make_wards

from lumenkeep.demo.fill import make_accounts
from lumenkeep.demo.hospital import STAFF
from lumenkeep.ward.chart.models import Child, EntryRow, LinePlace
from lumenkeep.ward.chart.store.repository import ChartRepository

if TYPE_CHECKING:
    from django.test import Client
    from tests.fakes.clock import FixedClock

PASSWORD = "a password of some length"  # noqa: S105
LINE = {
    "kind": "picc", "site": "upper-arm", "side": "left", "lumens": "2",
    "inserted-at": "2026-11-25 09:00", "external-length-mm": "42", "stitches": "0",
    "dressing": "transparent",
}  # fmt: skip
BABY = {
    "child": "new", "name": "Demo Yarrow", "bed": "11",
    "came-at": "2026-11-24 20:00", "born": "2026-11-24 18:30",
    "gestation": "27w3d", "weight-g": "940",
}  # fmt: skip
OUT = {"out-at": "2026-11-25 11:00", "reason": "not-needed", "tip": "yes"}


@pytest.fixture
def chart(db: None, clock: FixedClock) -> ChartRepository:
    make_wards()
    make_accounts(STAFF, PASSWORD)
    chart = ChartRepository(clock)
    clock.at -= timedelta(days=1)
    add_line(chart, clock, 1)
    clock.at += timedelta(days=1)
    return chart


@pytest.fixture
def nurse(client: Client, chart: ChartRepository) -> Client:
    client.force_login(User.objects.get(username="flint"))
    return client


def new_line(nurse: Client, **told: str):
    return nurse.post("/ward/kestrel/new-line/", {**LINE, **told, "submission": "n-1"})


def test_a_new_child_comes_on_to_the_chart_with_its_first_line(nurse, chart) -> None:
    answer = new_line(nurse, **BABY)

    assert answer.status_code == 302
    (record,) = [r for r in chart.lines_in("kestrel") if r.child_name == "Demo Yarrow"]
    line, child = record.state.case.line, record.state.case.child
    assert answer.url.startswith(f"/line/{record.key}/?charted=")
    assert (record.bed, line.kind, line.lumens) == ("11", "picc", 2)
    assert line.external_length_mm == 42
    assert str(child.gestation_at_birth) == "27w3d"
    assert child.unit == "intensive-care"
    assert nurse.get(answer.url).status_code == 200


def test_the_same_form_sent_twice_makes_one_child(nurse) -> None:
    first, second = new_line(nurse, **BABY), new_line(nurse, **BABY)

    assert first.url == second.url
    assert Child.objects.filter(display_name="Demo Yarrow").count() == 1


def test_a_child_here_already_gets_a_second_line(nurse, chart) -> None:
    new_line(nurse, child="c-1")

    lines = [r.key for r in chart.lines_in("kestrel") if r.child == "c-1"]
    assert len(lines) == 2


def test_every_fault_comes_at_once_and_nothing_is_made(nurse) -> None:
    answer = new_line(
        nurse,
        child="new",
        **{"kind": "", "gestation": "late", "lumens": "9", "inserted-at": ""},
    )

    assert answer.status_code == 422
    page = answer.content.decode()
    for said in (
        "Name on the screens: nothing", "Bed: nothing", "On this ward since: nothing",
        "Kind of line: nothing", "Put in at: nothing", "not weeks and days",
        "Lumens: 9 is above 5",
    ):  # fmt: skip
        assert said in page
    assert Child.objects.count() == LinePlace.objects.count() == 1


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ({**BABY, "born": "2026-11-25 09:30"}, "before the birth"),
        ({**BABY, "born": "2026-11-26"}, "still to come"),
        ({**BABY, "kind": "umbilical-venous"}, "An umbilical line goes in"),
        ({**BABY, "site": "umbilical"}, "An umbilical line goes in"),
        ({"child": "c-1", "bed": "12"}, "already here is chosen"),
        ({"child": "c-7"}, "none of the choices"),
    ],
)
def test_what_cannot_be_is_refused(nurse, told, said) -> None:
    answer = new_line(nurse, **told)

    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert LinePlace.objects.count() == 1


def test_a_line_put_in_in_the_minute_of_birth_is_taken(nurse) -> None:
    assert new_line(nurse, **BABY, **{"inserted-at": "2026-11-24 18:30"}).status_code
    assert LinePlace.objects.count() == 2


def test_what_is_not_known_of_a_child_stays_unknown(nurse, chart) -> None:
    new_line(nurse, child="new", name="Demo Yew", bed="7", **{
        "came-at": "2026-11-25 08:00", "site": "",
    })  # fmt: skip

    (record,) = [r for r in chart.lines_in("kestrel") if r.child_name == "Demo Yew"]
    kinds = [e.kind for e in chart.entries(record.key)]
    assert kinds == ["stay", "line-inserted"]
    assert nurse.get(f"/line/{record.key}/plan/").status_code == 200


def test_another_wards_chart_takes_no_line(nurse) -> None:
    assert nurse.get("/ward/wren/new-line/").status_code == 403


def test_a_child_moves_with_all_its_lines(nurse, chart) -> None:
    answer = nurse.post(
        "/line/l-1/move/",
        {"ward": "kestrel", "bed": "09", "moved-at": "2026-11-25 11:00"},
    )

    assert answer.url.startswith("/line/l-1/?charted=")
    assert chart.line("l-1").bed == "09"


def test_a_child_moved_to_a_closed_ward_leads_back_to_the_own_one(nurse, chart) -> None:
    answer = nurse.post(
        "/line/l-1/move/",
        {"ward": "wren", "bed": "02", "moved-at": "2026-11-25 11:00"},
    )

    assert answer.url == "/ward/kestrel/"
    record = chart.line("l-1")
    assert (record.ward, record.state.case.child.unit) == (
        "wren",
        "newborn-intensive-care",
    )


def test_a_child_that_is_gone_leaves_the_wards(nurse, chart) -> None:
    answer = nurse.post(
        "/line/l-1/move/", {"ward": "gone", "moved-at": "2026-11-25 11:00"}
    )

    assert answer.url == "/ward/kestrel/"
    assert chart.lines_in("kestrel") == []


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ({"ward": "kestrel", "bed": "04"}, "in this bed already"),
        ({"ward": "kestrel", "bed": ""}, "Bed: nothing is filled in"),
        ({"ward": "kestrel", "bed": "9", "moved-at": "2026-01-01 08:00"}, "before the"),
        ({"ward": "moon", "bed": "9"}, "none of the choices"),
    ],
)
def test_a_move_that_cannot_be_is_refused(nurse, told, said) -> None:
    before = EntryRow.objects.count()

    answer = nurse.post("/line/l-1/move/", {"moved-at": "2026-11-25 11:00", **told})

    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert EntryRow.objects.count() == before


def test_a_line_that_is_out_leaves_the_ward_and_keeps_its_story(nurse, chart) -> None:
    answer = nurse.post("/line/l-1/out/", OUT)

    assert answer.status_code == 302
    assert chart.lines_in("kestrel") == []
    page = nurse.get("/line/l-1/").content.decode()
    assert "no longer needed" in page


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ({"tip": ""}, "Is the line whole, tip and all: nothing"),
        ({"reason": ""}, "Why: nothing"),
        ({"out-at": "2026-11-25 13:30"}, "still to come"),
        ({"out-at": "2026-11-01 08:00"}, "before the insertion"),
    ],
)
def test_a_line_out_that_cannot_be_is_refused(nurse, told, said) -> None:
    answer = nurse.post("/line/l-1/out/", {**OUT, **told})

    assert answer.status_code == 422
    assert said in answer.content.decode()


def test_a_line_is_not_out_before_something_that_was_done_on_it(nurse) -> None:
    nurse.post(
        "/line/l-1/chart/finding/",
        {"findings": ["loose"], "found-at": "2026-11-25 11:30", "submission": "f-1"},
    )

    answer = nurse.post("/line/l-1/out/", OUT)

    assert answer.status_code == 422
    assert "something was done on the line after that" in answer.content.decode()
