"""A child barred from every agent: what was done all the same is charted as it was."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.contrib.auth.models import User
from tests.web.hospital import hospital_with_a_line

from lumenkeep.demo.fill import make_accounts
from lumenkeep.demo.hospital import STAFF
from lumenkeep.ward.chart.models import EntryRow
from lumenkeep.ward.chart.records import Draft

if TYPE_CHECKING:
    from django.test import Client
    from tests.fakes.clock import FixedClock

PATH = "/line/l-1/chart/change/"
DONE = {
    "chart-changed-at": "2026-11-25T11:30",
    "because": "loose",
    "dressing": "transparent",
    "chart-site": "healthy",
    "chart-external-length": "21",
    "chart-stitches": "0",
    "chart-tolerance": "calm",
    "chart-outcome": "Cleaned with saline, as the neonatologist said.",
}


@pytest.fixture
def nurse(db: None, client: Client, clock: FixedClock) -> Client:
    """A nurse of the ward on which the child lies; every agent is barred for it."""
    make_accounts(STAFF, "a password of some length")
    chart = hospital_with_a_line(clock)
    known = ["chlorhexidine", "iodine", "alcohol"]
    barred = Draft("c-1", None, "sensitivities", clock.at, "s-1", {"known": known})
    chart.append([barred], "quillmere")
    client.force_login(User.objects.get(username="flint"))
    return client


def changes() -> list[EntryRow]:
    return list(
        EntryRow.objects.filter(kind="dressing-change", by="s-flint").order_by("id")
    )


def test_the_plan_says_stop(nurse: Client) -> None:
    """The child of this file is really the one meant."""
    assert "Stop" in nurse.get("/line/l-1/plan/").content.decode()


def test_the_form_asks_all_that_it_asks_of_any_change(nurse: Client) -> None:
    page = nurse.get(PATH).content.decode()

    for name in DONE:
        assert f'name="{name}"' in page, name


def test_the_form_says_what_the_plan_says_and_marks_what_is_barred(
    nurse: Client,
) -> None:
    page = nurse.get(PATH).content.decode()

    assert "The plan says: Stop" in page
    assert "Every antiseptic of this policy is barred for this child." in page
    assert "Chart here what was really done all the same, whatever was used." in page
    assert "Povidone-iodine (barred for this child now)" in page


@pytest.mark.parametrize(
    ("agent", "words"),
    [
        ("saline-only", "Sterile saline or water only"),
        ("none", "Nothing was used"),
        ("another", "Another one, of which the policy does not speak"),
        ("povidone-iodine", "Povidone-iodine"),
        ("chlorhexidine-alcohol", "Chlorhexidine 2 % in alcohol"),
    ],
)
def test_what_was_done_all_the_same_is_charted(
    nurse: Client, agent: str, words: str
) -> None:
    answer = nurse.post(PATH, DONE | {"agent": agent}, follow=True)

    page = answer.content.decode()
    assert "On the chart: dressing change" in page
    assert words in page
    (entry,) = changes()
    assert entry.body["agent"] == agent
    assert entry.body["external_length_mm"] == 21


def test_a_change_that_was_done_is_corrected_too(nurse: Client) -> None:
    nurse.post(PATH, DONE | {"agent": "none"})
    (wrong,) = changes()
    path = f"/line/l-1/entry/{wrong.pk}/correct/"

    page = nurse.get(path).content.decode()
    assert 'value="none" selected' in page
    assert 'value="2026-11-25T11:30"' in page
    assert "The plan says: Stop" in page
    answer = nurse.post(path, DONE | {"agent": "saline-only", "do": "chart"})

    assert answer.status_code == 302
    assert changes()[-1].body["agent"] == "saline-only"
    assert changes()[-1].corrects_id == wrong.pk


def test_a_look_still_asks_what_is_measured(nurse: Client) -> None:
    assert (
        'name="chart-external-length"' in nurse.get("/line/l-1/look/").content.decode()
    )
