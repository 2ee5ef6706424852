"""Law: one line, one truth. Random days on a ward, every page held against a colleague.

The application is worked through its pages: forms by hand of every kind, corrections,
entries taken back, guides, rounds and chart files. After each step what it says of the
lines is compared with a second reading of the same entries, written apart. Where they
differ the steps are printed, to be done again by hand.
"""

from __future__ import annotations

import os

import pytest
from django.contrib.auth.models import User
from hypothesis import HealthCheck, Phase, settings
from hypothesis.stateful import run_state_machine_as_test
from tests.fakes.ways import NoSlips
from tests.web.hospital import make_wards
from tests.web.walk.days import DayOnTheWard
from tests.web.walk.held_against import wrong_in_reading, wrong_on_pages
from tests.web.walk.pages import SAID, line_page, tight
from tests.web.walk.steps import ASSISTANT, Walk, build_ward

from lumenkeep.core.entries import SeenSigns
from lumenkeep.demo.fill import make_accounts
from lumenkeep.demo.hospital import STAFF
from lumenkeep.ward.guide.pages import open_run, prepare

pytestmark = pytest.mark.django_db
DAYS, STEPS = int(os.environ.get("LUMENKEEP_DAYS", "5")), 24
"""How many days, and steps a day. More days go on from where these end."""
WAYS_OF_CHARTING = {
    "by hand", "corrected", "taken back", "from a file", "closed", "on a round",
    "guided, done", "guided, stopped",
}  # fmt: skip


@pytest.fixture
def ward(client, monkeypatch, clock):
    """A ward with three lines, and an educator signed in; its clock stands still."""
    for module in (open_run, prepare):
        monkeypatch.setattr(module, "ways", NoSlips)
    make_wards()
    make_accounts(STAFF, "a password of some length")
    build_ward(clock)
    client.force_login(User.objects.get(username="agate"))
    return client, clock


@pytest.mark.timeout(1800)
def test_every_page_answers_as_a_second_reading_of_the_chart_does(ward) -> None:
    client, clock = ward
    charted: set[str] = set()
    days = type(
        "Days", (DayOnTheWard,), {"client": client, "clock": clock, "charted": charted}
    )
    run_state_machine_as_test(
        days,
        settings=settings(
            max_examples=DAYS,
            stateful_step_count=STEPS,
            derandomize=True,
            database=None,
            deadline=None,
            # A day in full is easier to do again than to shrink.
            phases=(Phase.generate,),
            suppress_health_check=list(HealthCheck),
        ),
    )
    assert {way.partition(":")[0] for way in charted} >= WAYS_OF_CHARTING


LOOK = {"signs-site": ["discharge"], "signs-skin": ["skin-broken"]}


def test_a_fresh_ward_and_one_look_are_read_alike(ward) -> None:
    walk = Walk(*ward)
    assert wrong_on_pages(walk, "l-1") == []
    walk.chart("l-1", "site-check", LOOK, 0)

    assert walk.charted == {"by hand: site-check"}
    assert wrong_on_pages(walk, "l-1") == []


CHG, IODINE = "Chlorhexidine 2 % in alcohol", "Povidone-iodine"
BOX, NO_BOX = 'class="held"', 'class="calm"'
LIES = [
    ("/line/l-1/", BOX, NO_BOX, "l-1, line page: held is"),
    ("/line/l-1/plan/", BOX, NO_BOX, "l-1, plan: held is"),
    ("/line/l-1/guide/", BOX, NO_BOX, "l-1, guide: held is"),
    ("/line/l-1/round/", BOX, NO_BOX, "l-1, look on a round: held is"),
    ("/ward/kestrel/", "g-held", "g-days", "l-1, ward: held is"),
    ("/ward/kestrel/", 'id="strip-l-1"', 'id="strip-l-9"', "l-1, ward: is listed"),
    ("/ward/kestrel/round/", "do not use", "", "l-1, round: held is"),
    ("/ward/kestrel/handover/", SAID, "Until", "handover:"),
    ("/line/l-1/", "<b>Broken</b>", "<b>Intact</b>", "l-1, line page: skin is"),
    ("/line/l-1/", "<b>20 mm</b>", "<b>25 mm</b>", "l-1, line page: length is"),
    ("/line/l-1/", "Asked: nothing", "Iodine:", "l-1, line page: not tolerated is"),
    ("/line/l-1/", ' class="is-now"', "", "l-1, line page: due now is"),
    ("/line/l-1/plan/", IODINE, CHG, "l-1, plan: agent is"),
    ("/line/l-1/", IODINE, CHG, "l-1: the plan differs"),
]
"""A page, what it says, what a lie says in its place, and how that is told."""


class Liar:
    """A browser in which one page says something else than was sent."""

    def __init__(self, client, path, was, lie) -> None:
        self.client, self.path, self.was, self.lie = client, path, was, lie

    def get(self, path):
        answer = self.client.get(path)
        if path == self.path:
            page = answer.content.decode()
            assert self.was in page, "there is nothing to lie about"
            answer.content = page.replace(self.was, self.lie)
        return answer


@pytest.mark.parametrize(("path", "was", "lie", "told"), LIES)
def test_a_lie_of_one_page_is_seen(ward, path, was, lie, told) -> None:
    walk = Walk(*ward)
    walk.chart("l-1", "site-check", LOOK, 0)
    walk.client = Liar(walk.client, path, was, lie)

    wrong = wrong_on_pages(walk, "l-1")
    assert [one for one in wrong if one.startswith(told)], wrong


def test_a_sign_lost_by_the_reading_is_seen(ward, monkeypatch) -> None:
    walk = Walk(*ward)
    monkeypatch.setattr("lumenkeep.core.entries.state.signs_in", lambda _: SeenSigns())
    walk.chart("l-1", "site-check", LOOK, 0)

    assert any("chart read: findings" in one for one in wrong_in_reading(walk))


# What the walk found, each by itself.


def _said_of(walk: Walk, line: str, page: str = "") -> str:
    return tight(walk.client.get(f"/line/{line}/{page}").content.decode())


def test_the_skin_shown_is_that_of_the_site_of_this_line(ward) -> None:
    walk = Walk(*ward)
    walk.chart("l-1", "site-check", {"signs-skin": ["skin-torn"]}, 0)
    walk.chart("l-2", "site-check", {"signs-well": ["skin-whole"]}, 0)

    assert line_page(_said_of(walk, "l-1"))["skin"] == "Broken"
    assert line_page(_said_of(walk, "l-2"))["skin"] == "Intact"


def test_two_people_read_together_the_skin_of_the_site_of_this_line(ward) -> None:
    walk = Walk(*ward)
    walk.chart("l-2", "site-check", {"signs-skin": ["skin-torn"]}, 0)
    asked = {"procedure": "dressing-change", "assistant": ASSISTANT}
    said = {}
    for line in ("l-1", "l-2"):
        opened = walk.client.post(
            "/guide/runs/", {**asked, "line": line}, content_type="application/json"
        )
        facts = {row["label"]: row["says"] for row in opened.json()["facts"]}
        said[line] = facts["Skin at the site"]

    assert said == {"l-1": "Intact", "l-2": "Broken"}


def test_a_set_first_charted_as_stopped_hangs_since_nobody_knows_when(ward) -> None:
    walk = Walk(*ward)
    stopped = {"doing": "stopped", "set-kind": "lipid"}
    walk.chart("l-1", "set-change", stopped, 1)

    page = _said_of(walk, "l-1")
    assert "Administration set: lipid" in page
    assert "set" in line_page(page)["due now"]


def test_a_set_of_which_two_things_are_said_is_asked_about(ward) -> None:
    walk = Walk(*ward)
    walk.chart("l-1", "set-change", {"doing": "up", "set-kind": "plain"}, 3)
    walk.chart("l-1", "set-change", {"doing": "stopped", "set-kind": "lipid"}, 0)

    assert "Administration set: " not in _said_of(walk, "l-1")
    assert wrong_in_reading(walk) == []


@pytest.mark.parametrize(
    ("line", "kind", "form"),
    [
        ("l-1", "line-use", {"in_use": "no"}),
        ("l-3", "needle-change", {"doing": "out"}),
    ],
)
def test_a_set_hung_on_a_line_charted_as_at_rest_has_its_time(
    ward, line, kind, form
) -> None:
    walk = Walk(*ward)
    walk.chart(line, kind, form, 3)
    walk.chart(line, "set-change", {"doing": "up", "set-kind": "lipid"}, 0)
    assert "set" not in line_page(_said_of(walk, line))["due now"]
    walk.wait(25)

    assert "set" in line_page(_said_of(walk, line))["due now"]
    assert wrong_on_pages(walk, line) == []


def test_what_a_stopped_change_had_measured_is_the_last_length(ward) -> None:
    walk = Walk(*ward)
    measured = {"chart-external-length": "20.5", "chart-stitches": "0"}
    walk.guide("l-1", "dressing-change", {**measured, "findings": []}, 0.1)

    assert walk.charted == {"guided, stopped: dressing-change"}
    assert line_page(_said_of(walk, "l-1"))["length"] == "20.5 mm"
    # The chart file takes back what it gave.
    assert wrong_in_reading(walk) == []


def test_the_handover_says_which_of_a_child_s_lines_is_not_to_be_used(ward) -> None:
    walk = Walk(*ward)
    walk.chart("l-2", "site-check", {"signs-line": ["line-broken"]}, 0)
    page = walk.client.get("/ward/kestrel/handover/").content.decode()

    assert "Tunnelled central line" in page
    assert "PICC" not in page
