"""Two children in one bed are said wherever a line is read, and asked back at a move."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from django.contrib.auth.models import User
from tests.fakes.chart import first_drafts
from tests.web.hospital import add_line, make_wards

from lumenkeep.demo.fill import make_accounts
from lumenkeep.demo.hospital import STAFF
from lumenkeep.ward import guide
from lumenkeep.ward.chart.line_at_hand import SHARES_BED
from lumenkeep.ward.chart.models import EntryRow, LinePlace
from lumenkeep.ward.chart.records import Draft
from lumenkeep.ward.chart.store.repository import ChartRepository

if TYPE_CHECKING:
    from django.test import Client
    from tests.fakes.clock import FixedClock

PASSWORD = "a password of some length"  # noqa: S105
BAND = Path(guide.__file__).parent / "static/lumenkeep/guide/band-view.js"
PAGES = (
    "/line/{}/",
    "/line/{}/plan/",
    "/line/{}/guide/",
    "/line/{}/chart/change/",
    "/line/{}/look/",
    "/line/{}/move/",
)
MOVE = {"ward": "kestrel", "bed": "04", "moved-at": "2026-11-25T11:00"}


@pytest.fixture
def chart(db: None, clock: FixedClock) -> ChartRepository:
    """A ward with two children, both charted in bed 04."""
    make_wards()
    make_accounts(STAFF, PASSWORD)
    chart = ChartRepository(clock)
    clock.at -= timedelta(days=1)
    add_line(chart, clock, 1)
    add_line(chart, clock, 2)
    clock.at += timedelta(days=1)
    return chart


@pytest.fixture
def nurse(client: Client, chart: ChartRepository) -> Client:
    client.force_login(User.objects.get(username="flint"))
    return client


def move_away(chart: ChartRepository, bed: str) -> None:
    at = chart._clock.now() - timedelta(hours=2)
    body = {"ward": "kestrel", "bed": bed}
    chart.append([Draft("c-2", None, "stay", at, "flint", body)], "quillmere")


def test_the_guide_s_band_says_it_in_the_same_words() -> None:
    assert f'"{SHARES_BED}"' in BAND.read_text(encoding="utf-8")


@pytest.mark.parametrize("page", PAGES)
@pytest.mark.parametrize("line", ["l-1", "l-2"])
def test_each_page_of_both_lines_says_that_the_bed_is_shared(
    nurse, chart, page, line
) -> None:
    assert SHARES_BED in nurse.get(page.format(line)).content.decode()

    move_away(chart, "05")

    assert SHARES_BED not in nurse.get(page.format(line)).content.decode()


def test_the_ward_list_says_it_at_both(nurse, chart) -> None:
    assert nurse.get("/ward/kestrel/").content.decode().count(SHARES_BED) == 2

    move_away(chart, "05")

    assert SHARES_BED not in nurse.get("/ward/kestrel/").content.decode()


def test_two_lines_of_one_child_share_no_bed(nurse, chart) -> None:
    move_away(chart, "05")
    LinePlace.objects.create(key="l-3", child_id="c-1")
    chart.append(first_drafts(chart._clock.now(), child="c-1", line="l-3"), "quillmere")

    assert SHARES_BED not in nurse.get("/line/l-1/").content.decode()
    assert SHARES_BED not in nurse.get("/ward/kestrel/").content.decode()


@pytest.mark.parametrize("bed", ["04", " 04 "])
def test_a_move_into_a_taken_bed_is_asked_back_once(nurse, chart, bed) -> None:
    move_away(chart, "05")
    before = EntryRow.objects.count()
    told = MOVE | {"bed": bed, "submission": "m-1"}

    asked = nurse.post("/line/l-2/move/", told)
    text = asked.content.decode()

    assert asked.status_code == 422
    assert f"{SHARES_BED}." in text
    assert 'name="bed-sure"' in text
    assert EntryRow.objects.count() == before

    taken = nurse.post("/line/l-2/move/", told | {"bed-sure": bed})

    assert taken.status_code == 302
    assert EntryRow.objects.count() == before + 1
    assert SHARES_BED in nurse.get(taken["Location"]).content.decode()


def test_a_move_into_a_free_bed_asks_nothing(nurse, chart) -> None:
    told = MOVE | {"bed": "07", "submission": "m-1"}

    assert nurse.post("/line/l-2/move/", told).status_code == 302
