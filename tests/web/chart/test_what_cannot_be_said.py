"""What cannot be said, on the pages: what to find out, where to chart it, what it changes."""

from __future__ import annotations

from datetime import date, time, timedelta
from typing import TYPE_CHECKING

import pytest
from django.contrib.auth.models import User
from tests.fakes.clock import NOON, FixedClock
from tests.web.hospital import add_line, make_wards

from lumenkeep.demo.fill import make_accounts
from lumenkeep.demo.hospital import STAFF
from lumenkeep.ward.chart.models import EntryRow
from lumenkeep.ward.chart.records import Draft
from lumenkeep.ward.chart.store.repository import ChartRepository
from lumenkeep.ward.outcomes.repository import OutcomeRepository

if TYPE_CHECKING:
    from django.test import Client

pytestmark = pytest.mark.django_db
PASSWORD = "a password of some length"  # noqa: S105
WARD = "/infections/ward/kestrel/"
SPECIMEN = "/infections/line/l-1/chart/specimen/"
SENT = {
    "at": "2026-11-23T12:00", "source": "blood", "draw": "left arm",
    "method": "culture", "result": "grew",
}  # fmt: skip


@pytest.fixture
def page(client: Client, clock: FixedClock) -> Client:
    """A ward that counts at six, with a child whose line's tip nobody has charted."""
    make_wards()
    make_accounts(STAFF, PASSWORD)
    book = OutcomeRepository(clock)
    book.set_hour("kestrel", date(2026, 1, 1), time(6), "other", "a test", "s-agate")
    chart = ChartRepository(clock)
    add_line(chart, clock, 1)
    seen = [
        Draft("c-1", "l-1", "site-check", NOON - timedelta(days=n), "s-1", {})
        for n in range(9)
    ]
    blood = {"source": "blood", "draw": "arm", "method": "culture", "result": "grew",
             "organisms": ["Klebsiella oxytoca"]}  # fmt: skip
    taken = Draft("c-1", None, "specimen", NOON - timedelta(days=2), "s-1", blood)
    chart.append([*seen, taken], "quillmere")
    client.force_login(User.objects.get(username="agate"))
    return client


def read(page: Client, path: str) -> str:
    return page.get(path).content.decode()


def test_the_list_says_what_to_find_out_and_leads_to_its_form(page: Client) -> None:
    shown = read(page, WARD)

    assert "cannot be said yet" in shown
    assert "To find out: Where the tip of its line lies." in shown
    assert 'href="/infections/line/l-1/chart/line-tip/"' in shown
    assert "Chart where the tip lies" in shown


def test_the_rate_says_what_is_open_and_what_it_would_change(page: Client) -> None:
    """Nine mornings with the one child, and its line of unknown tip, on the ward."""
    shown = read(page, "/outcomes/kestrel/?from=2026-11-17&to=2026-11-25")

    assert "No infections, and no line-day was counted: there is no rate." in shown
    assert "Open are one infection and 9 line-days" in shown
    assert "If all counted: 1 in 9, 111.1 per 1000" in shown
    assert "Open line-days" in shown


def test_once_the_tip_is_charted_nothing_is_open(page: Client) -> None:
    sent = page.post(
        "/infections/line/l-1/chart/line-tip/",
        {"at": "2026-11-17T08:00", "tip": "great-vessel"},
    )
    assert sent.status_code == 302

    shown = read(page, "/outcomes/kestrel/?from=2026-11-17&to=2026-11-25")
    assert "One infection in 9 line-days" in shown
    assert "Open are" not in shown


def test_a_name_not_understood_comes_back_with_the_names_near_it(page: Client) -> None:
    refused = page.post(SPECIMEN, {**SENT, "organisms": "Klebsiela oxitoca"})

    shown = refused.content.decode()
    assert "No list here knows “Klebsiela oxitoca”. Which is it?" in shown
    assert 'value="Klebsiella oxytoca"' in shown
    assert "It stands so on the report" in shown
    assert EntryRow.objects.filter(kind="specimen").count() == 1

    told = {**SENT, "organisms": "Klebsiela oxitoca", "meant-0": "Klebsiella oxytoca"}
    assert page.post(SPECIMEN, told).status_code == 302
    latest = EntryRow.objects.filter(kind="specimen").latest("id")
    assert latest.body["organisms"] == ["Klebsiella oxytoca"]


def test_an_organism_kept_as_written_is_asked_for_and_can_be_settled(
    page: Client,
) -> None:
    kept = {**SENT, "organisms": "Novum organum", "meant-0": "as-written"}
    assert page.post(SPECIMEN, kept).status_code == 302
    event = EntryRow.objects.filter(kind="specimen").latest("id").id

    shown = read(page, f"/infections/blood/{event}/")
    form = "/infections/line/l-1/chart/organism/?name=Novum+organum"
    assert form in shown
    assert 'value="Novum organum"' in read(page, form)
    said = {"name": "Novum organum", "is": "pathogen"}
    assert page.post(form, said).status_code == 302

    assert "Chart what an organism is" not in read(page, f"/infections/blood/{event}/")
