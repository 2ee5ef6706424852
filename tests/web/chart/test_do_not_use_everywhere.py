"""Law: "do not use" is said wherever the line is used, and going on is charted."""

from __future__ import annotations

import pytest
from django.contrib.auth.models import User
from tests.web.hospital import add_line, hospital_with_a_line

from lumenkeep.core.entries import every_kind
from lumenkeep.demo.fill import make_accounts
from lumenkeep.demo.hospital import STAFF
from lumenkeep.ward.chart.models import EntryRow
from lumenkeep.ward.chart.records import Draft

pytestmark = pytest.mark.django_db
SAID = "Do not use the line until"
ON_LINE = [
    kind.id
    for kind in every_kind().values()
    if kind.form is not None and kind.about != "child" and kind.id != "line-inserted"
]


@pytest.fixture
def nurse(client, clock):
    chart = hospital_with_a_line(clock)
    add_line(chart, clock, 2)
    pus = Draft("c-1", "l-1", "site-check", clock.at, "s-1", {"signs": ["discharge"]})
    chart.append([pus], "quillmere")
    make_accounts(STAFF, "demo-demo-demo")
    client.force_login(User.objects.get(username="flint"))
    return client


@pytest.mark.parametrize(
    "path", ["/line/l-1/", "/line/l-1/plan/", "/line/l-1/guide/", "/line/l-1/round/"]
)
def test_the_pages_of_a_held_line_say_so(nurse, path) -> None:
    assert SAID in nurse.get(path).content.decode()
    assert SAID not in nurse.get(path.replace("l-1", "l-2")).content.decode()


@pytest.mark.parametrize("kind", ON_LINE)
def test_every_form_on_a_held_line_says_so(nurse, kind) -> None:
    page = nurse.get(f"/line/l-1/chart/{kind}/").content.decode()
    asks = every_kind()[kind].uses_line

    assert SAID in page
    assert ('name="do_not_use_known"' in page) is asks


def test_the_ward_lists_a_held_line_first(nurse) -> None:
    page = nurse.get("/ward/kestrel/").content.decode()

    assert "1 line must not be used." in page
    assert page.index("Do not use the line") < page.index("/line/l-2/")
    assert page.index("/line/l-1/") < page.index("/line/l-2/")


def test_the_round_marks_a_held_line(nurse) -> None:
    assert "do not use" in nurse.get("/ward/kestrel/round/").content.decode()


def test_the_handover_says_it(nurse) -> None:
    assert SAID in nurse.get("/ward/kestrel/handover/").content.decode()


def test_whoever_goes_on_says_why_and_that_is_charted(nurse) -> None:
    path = "/line/l-1/chart/connector-change/"
    refused = nurse.post(path, {"submission": "f-1"})
    assert refused.status_code == 422
    assert not EntryRow.objects.filter(kind="connector-change").exists()

    nurse.post(path, {"submission": "f-2", "do_not_use_known": "asked Dr Demo"})
    row = EntryRow.objects.get(kind="connector-change")
    assert row.body["do_not_use_known"] == "asked Dr Demo"
    assert (
        "Went on though the line must not be used"
        in nurse.get("/line/l-1/").content.decode()
    )
