"""What a form charted is what every page tells, in the same words."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.contrib.auth.models import User
from tests.fakes.clock import FixedClock
from tests.web.hospital import hospital_with_a_line

from lumenkeep.core.policy import load_policy
from lumenkeep.demo.fill import make_accounts
from lumenkeep.demo.hospital import STAFF
from lumenkeep.ward.chart.line_at_hand import LineAtHand
from lumenkeep.ward.chart.pages import context
from lumenkeep.ward.chart.records import Draft
from lumenkeep.ward.chart.store.repository import ChartRepository
from lumenkeep.ward.guide.bundle.band import facts_read

if TYPE_CHECKING:
    from django.test import Client

SEEN = {"looked-at": "2026-11-25T11:30"}


@pytest.fixture
def clock() -> FixedClock:
    return FixedClock()


@pytest.fixture
def nurse(
    db: None, client: Client, clock: FixedClock, monkeypatch: pytest.MonkeyPatch
) -> Client:
    """A nurse of the ward on which the line lies."""
    monkeypatch.setattr(context, "SystemClock", lambda: clock)
    make_accounts(STAFF, "a password of some length")
    hospital_with_a_line(clock)
    client.force_login(User.objects.get(username="flint"))
    return client


def skin_on_the_line_page(nurse: Client) -> tuple[str, str]:
    page = nurse.get("/line/l-1/").context
    rows = (*page["child_facts"], *page["line_facts"])
    return next((r.value, r.note) for r in rows if "Skin" in r.label)


@pytest.mark.parametrize(
    ("sign", "told"),
    [
        ({"signs-skin": "skin-broken"}, "Broken"),
        ({"signs-skin": "blister"}, "Broken"),
        ({"signs-well": "skin-whole"}, "Intact"),
    ],
)
def test_the_line_page_tells_the_skin_that_a_look_charted(
    nurse: Client, sign: dict[str, str], told: str
) -> None:
    assert nurse.post("/line/l-1/look/", SEEN | sign).status_code == 302

    value, note = skin_on_the_line_page(nurse)

    assert value == told
    assert "11:30" in note


def test_a_look_that_says_nothing_of_the_skin_is_not_when_it_was_told(
    nurse: Client,
) -> None:
    nurse.post("/line/l-1/look/", SEEN | {"signs-skin": "blister"})
    later = {"looked-at": "2026-11-25T11:50", "signs-site": "red"}
    assert nurse.post("/line/l-1/look/", later).status_code == 302

    assert "11:30" in skin_on_the_line_page(nurse)[1]


def test_the_guide_reads_out_the_skin_that_a_look_charted(
    nurse: Client, clock: FixedClock
) -> None:
    nurse.post("/line/l-1/look/", SEEN | {"signs-skin": "skin-torn"})
    chart = ChartRepository(clock)
    record = chart.line("l-1")
    assert record is not None
    found = LineAtHand(record, chart.wards()[0], load_policy("quillmere"))

    rows = {one["label"]: one["says"] for one in facts_read(found, clock.now())}

    assert rows["Skin at the site"] == "Broken"


def test_the_form_of_a_change_marks_all_that_is_barred(nurse: Client) -> None:
    """What the set never puts on too: without a mark it reads as allowed."""
    nurse.post("/line/l-1/look/", SEEN | {"signs-skin": "skin-broken"})

    page = nurse.get("/line/l-1/chart/change/").content.decode()

    assert "Clear film (barred for this child now)" in page
    assert "Clear film over a chlorhexidine disc (barred for this child now)" in page
    assert "Gauze (barred" not in page


def test_an_agent_is_marked_by_what_it_contains(nurse: Client) -> None:
    """The set plans neither, and has no rule that names them."""
    told = {"sensitivities": ["chlorhexidine", "alcohol"], "seen-at": SEEN["looked-at"]}
    path = "/line/l-1/chart/fact/sensitivities/"
    assert nurse.post(path, told).status_code == 302

    page = nurse.get("/line/l-1/chart/change/").content.decode()

    assert "Chlorhexidine in water (barred for this child now)" in page
    assert "70 % isopropyl alcohol (barred for this child now)" in page
    assert "Povidone-iodine (barred" not in page


@pytest.mark.parametrize(("known", "drawn"), [("none", True), ("adhesive", False)])
def test_barrier_film_is_drawn_where_it_is_laid_out_only(
    nurse: Client, known: str, drawn: bool
) -> None:
    """Beside "no barrier film" a drawing of it is a second answer."""
    told = {"sensitivities": known, "seen-at": SEEN["looked-at"]}
    path = "/line/l-1/chart/fact/sensitivities/"
    assert nurse.post(path, told).status_code == 302

    page = nurse.get("/line/l-1/plan/").content.decode()

    assert ("Barrier film under the edges only" in page) is drawn


@pytest.mark.parametrize(
    ("told", "says"),
    [
        ({"known": ["adhesive"]}, "May not stay on: "),
        ({"known": []}, "Nothing on the chart makes it due yet"),
    ],
)
def test_the_guide_says_why_the_change_is_due_and_not_that_it_was(
    nurse: Client, clock: FixedClock, told: dict, says: str
) -> None:
    chart = ChartRepository(clock)
    at = clock.now()
    on = {"dressing": "transparent", "because": "planned"}
    chart.append(
        [
            Draft("c-1", "l-1", "dressing-change", at, "s-1", on),
            Draft("c-1", None, "sensitivities", at, "s-1", told),
        ],
        "quillmere",
    )
    record = chart.line("l-1")
    assert record is not None
    found = LineAtHand(record, chart.wards()[0], load_policy("quillmere"))

    rows = {one["label"]: one["says"] for one in facts_read(found, at)}

    assert rows["Why now"].startswith(says)
    assert "Why now" not in {one["label"] for one in facts_read(found, at, ())}
