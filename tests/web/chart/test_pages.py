"""The pages through Django's client: who may see what, what is sent, what is refused."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import TYPE_CHECKING, Any

import pytest
from django.contrib.auth.models import User
from django.db import connection
from django.test.utils import CaptureQueriesContext
from tests.web.hospital import add_line, make_wards

from lumenkeep.demo.fill import make_accounts
from lumenkeep.demo.hospital import STAFF
from lumenkeep.ward.chart.models import EntryRow
from lumenkeep.ward.chart.store.repository import ChartRepository
from lumenkeep.web.pages import ward as ward_view

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client
    from tests.fakes.clock import FixedClock

PASSWORD = "a password of some length"  # noqa: S105
FINDING = {"findings": ["loose"], "found-at": "2026-11-25 11:30", "submission": "f-1"}


@pytest.fixture
def hospital(db: None, clock: FixedClock) -> ChartRepository:
    make_wards()
    make_accounts(STAFF, PASSWORD)
    chart = ChartRepository(clock)
    clock.at -= timedelta(days=1)
    for number in (1, 2, 3):
        add_line(chart, clock, number)
    clock.at += timedelta(days=1)
    return chart


@pytest.fixture
def signed_in(client: Client, hospital: ChartRepository) -> Callable[[str], Client]:
    def as_(name: str) -> Client:
        client.force_login(User.objects.get(username=name))
        return client

    return as_


def test_a_nurse_lands_on_her_own_ward(signed_in) -> None:
    assert signed_in("flint").get("/").url == "/ward/kestrel/"


def test_the_educator_lands_on_all_wards(signed_in) -> None:
    client = signed_in("agate")

    assert client.get("/").url == "/ward/all/"
    assert b"3 lines in all." in client.get("/ward/all/").content


@pytest.mark.parametrize(
    "path",
    ["/ward/kestrel/", "/line/l-1/", "/line/l-1/plan/", "/line/l-1/chart/change/"],
)
def test_another_ward_is_closed(signed_in, path: str) -> None:
    answer = signed_in("onyx").get(path)

    assert answer.status_code == 403
    assert b"may belong to another ward" in answer.content
    assert b"Sorrel" not in answer.content


def test_all_wards_show_a_nurse_her_own_alone(signed_in) -> None:
    assert b"Sorrel" not in signed_in("onyx").get("/ward/all/").content


@pytest.mark.parametrize(
    "path",
    [
        "/ward/nowhere/",
        "/line/l-9/",
        "/line/l-9/plan/",
        "/line/l-1/entry/9999/correct/",
        "/line/l-1/chart/task/tea/",
        "/line/l-1/chart/fact/tea/",
        "/line/l-1/plan/?at=yesterday",
        "/line/l-1/plan/?at=2020-01-01T00:00:00Z",
    ],
)
def test_what_is_not_there_says_so(signed_in, path: str) -> None:
    answer = signed_in("agate").get(path)

    assert answer.status_code == 404
    assert b"There is nothing at this address." in answer.content


def test_a_page_that_knows_the_newest_is_sent_nothing(signed_in, clock) -> None:
    client = signed_in("agate")
    page = client.get("/ward/kestrel/").content.decode()
    known = dict(re.findall(r'name="(seen|minute)" value="([^"]+)"', page))

    assert client.get("/ward/kestrel/strips/", known).status_code == 204

    clock.move(minutes=1)
    again = client.get("/ward/kestrel/strips/", known)
    assert again.status_code == 200
    assert b"<article" in again.content
    assert b"<html" not in again.content


def test_a_page_is_sent_the_strips_once_something_is_charted(signed_in) -> None:
    client = signed_in("agate")
    page = client.get("/ward/kestrel/").content.decode()
    known = dict(re.findall(r'name="(seen|minute)" value="([^"]+)"', page))
    client.post("/line/l-2/chart/finding/", FINDING)

    again = client.get("/ward/kestrel/strips/", known).content.decode()

    fresh = re.findall(
        r'class="strip g-([a-z-]+) is-fresh" id="strip-([a-z0-9-]+)"', again
    )
    assert fresh == [("dressing-now", "l-2")]
    assert "1 of them for the dressing" in again


def test_strips_come_in_pages(signed_in, monkeypatch) -> None:
    monkeypatch.setattr(ward_view, "STRIPS_AT_ONCE", 2)
    client = signed_in("agate")

    first = client.get("/ward/kestrel/strips/", {"seen": "0"}).content.decode()
    rest = client.get("/ward/kestrel/strips/", {"start": "2"}).content.decode()

    assert first.count("<article") == 2
    assert "start=2" in first
    assert rest.count("<article") == 1
    assert "hx-get" not in rest


@pytest.mark.parametrize(
    "query", ["start=-1", "start=x", "shown=1e9", "start=99999999999"]
)
def test_a_query_nobody_meant_does_no_harm(signed_in, query: str) -> None:
    answer = signed_in("agate").get(f"/ward/kestrel/strips/?{query}")

    assert answer.status_code == 200


def test_the_ward_view_asks_the_database_as_often_for_many_lines(
    signed_in, hospital, clock
) -> None:
    client = signed_in("agate")

    def queries() -> int:
        with CaptureQueriesContext(connection) as found:
            client.get("/ward/all/")
        return len(found)

    few = queries()
    for number in range(4, 24):
        add_line(hospital, clock, number)

    assert queries() == few


def test_a_part_of_a_page_is_told_it_is_signed_out(client, db) -> None:
    answer = client.get("/sign-in/", headers={"HX-Request": "true"})

    assert answer.status_code == 401


def test_a_finding_is_charted_and_the_next_step_said(signed_in) -> None:
    client = signed_in("flint")

    answer = client.post("/line/l-1/chart/finding/", FINDING, follow=True)

    assert "The dressing is to be changed now." in answer.content.decode()
    assert EntryRow.objects.filter(kind="finding", by="s-flint").count() == 1


def test_a_form_sent_twice_is_written_once(signed_in) -> None:
    client = signed_in("flint")

    first = client.post("/line/l-1/chart/finding/", FINDING)
    second = client.post("/line/l-1/chart/finding/", FINDING)

    assert first.url == second.url
    assert EntryRow.objects.filter(kind="finding").count() == 1


@pytest.mark.parametrize(
    ("path", "changed"),
    [
        ("/line/l-1/chart/finding/", {"findings": ["damp"]}),
        ("/line/l-1/chart/finding/", {"note": "and damp since"}),
        ("/line/l-2/chart/finding/", {}),
        (
            "/line/l-1/chart/weight/",
            {"weight-g": "3000", "seen-at": "2026-11-25 11:30"},
        ),
    ],
)
def test_a_form_that_now_says_something_else_is_not_called_charted(
    signed_in, path: str, changed: dict[str, Any]
) -> None:
    client = signed_in("flint")
    client.post("/line/l-1/chart/finding/", FINDING)
    first = EntryRow.objects.get(kind="finding")
    before = EntryRow.objects.count()

    again = client.post(path, FINDING | changed)

    assert again.status_code == 503
    assert f"charted before, as entry {first.pk}" in again.content.decode()
    assert 'value="f-1"' in again.content.decode()
    assert EntryRow.objects.count() == before


@pytest.mark.parametrize(
    ("kind", "typed"),
    [
        ("skin", {"skin": "broken", "seen-at": "2016-11-25 11:30"}),
        ("weight", {"weight-g": "3000", "seen-at": "2016-11-25 11:30"}),
        ("sensitivities", {"sensitivities": ["latex"], "seen-at": "2016-11-25 11:30"}),
    ],
)
def test_nothing_is_charted_of_a_child_before_its_birth(
    signed_in, kind: str, typed: dict[str, Any]
) -> None:
    client = signed_in("flint")
    client.post("/line/l-1/chart/fact/birth/", {"born": "2026-11-01"})
    assert EntryRow.objects.filter(kind="birth", body__born="2026-11-01").exists()
    before = EntryRow.objects.count()

    answer = client.post(f"/line/l-1/chart/fact/{kind}/", typed)

    assert answer.status_code == 422
    assert "before the birth" in answer.content.decode()
    assert EntryRow.objects.count() == before


def test_a_refused_form_gives_back_what_was_typed(signed_in) -> None:
    typed = {
        "note": "A <b>seam</b>",
        "found-at": "2031-01-01T00:00",
        "submission": "f-2",
    }

    answer = signed_in("flint").post("/line/l-1/chart/finding/", typed)
    page = answer.content.decode()

    assert answer.status_code == 422
    assert "Nothing has been charted yet." in page
    assert "2 things must be put right." in page
    assert "A &lt;b&gt;seam&lt;/b&gt;" in page
    assert 'value="2031-01-01T00:00"' in page
    assert 'value="f-2"' in page
    assert not EntryRow.objects.filter(kind="finding").exists()


def test_nothing_is_charted_on_a_line_that_is_out(signed_in, hospital, clock) -> None:
    from lumenkeep.ward.chart.records import Draft

    out = Draft("c-1", "l-1", "line-removed", clock.at, "s-1", {"reason": "done"})
    hospital.append([out], "quillmere")
    client = signed_in("agate")

    assert "Taken out today" in client.get("/line/l-1/").content.decode()
    for path in (
        "plan/", "chart/change/", "chart/finding/", "chart/task/connector/", "look/",
        "guide/", "round/",
    ):  # fmt: skip
        answer = client.get(f"/line/l-1/{path}")
        page = answer.content.decode()
        assert answer.status_code == 400
        assert "It has been taken out." in page, path
        assert 'href="/line/l-1/"' in page, path
        assert "browser" not in page, path


def test_a_line_that_never_was_says_so(signed_in, hospital, clock) -> None:
    from lumenkeep.ward.chart.records import Draft

    inserted = EntryRow.objects.get(kind="line-inserted", line="l-1").pk
    back = Draft("c-1", "l-1", "withdrawn", clock.at, "s-1", {}, inserted)
    hospital.append([back], "quillmere")

    answer = signed_in("agate").get("/line/l-1/plan/")

    assert answer.status_code == 400
    assert "Its insertion was charted by mistake" in answer.content.decode()


def test_what_a_browser_garbled_is_not_laid_to_the_line(signed_in, hospital) -> None:
    far_too_much = {f"field-{number}": "" for number in range(5_000)}

    answer = signed_in("agate").post("/line/l-1/chart/finding/", far_too_much)
    page = answer.content.decode()

    assert answer.status_code == 400
    assert "sent something that cannot be read" in page
    assert "taken out" not in page


def test_the_plan_of_a_past_instant_says_so(signed_in, clock) -> None:
    past = clock.at - timedelta(hours=2)

    page = signed_in("agate").get("/line/l-1/plan/", {"at": past.isoformat()})

    assert "As it was on Wed 25 Nov 2026, 10:00." in page.content.decode()


def test_the_gloves_follow_whoever_assists(signed_in) -> None:
    client = signed_in("basalt")

    alone = client.get("/line/l-1/plan/").content.decode()
    together = client.get("/line/l-1/plan/", {"with": "s-chalk"}).content.decode()

    assert "gloves 7.5" in alone
    assert "gloves size not known" in alone
    assert "gloves 6<" in together


def test_only_the_demo_shows_its_accounts(client, db, settings) -> None:
    settings.DEMO = False
    assert b"demo-only" not in client.get("/sign-in/").content

    settings.DEMO = True
    assert b"demo-only" in client.get("/sign-in/").content


@pytest.mark.parametrize(
    "path",
    [
        "/sign-in/",
        "/ward/kestrel/",
        "/line/l-1/",
        "/line/l-1/plan/",
        "/line/l-1/chart/change/",
    ],
)
def test_no_page_needs_more_than_the_strict_policy_gives(signed_in, path: str) -> None:
    answer: Any = signed_in("agate").get(path, follow=True)
    page = answer.content.decode()

    assert "unsafe" not in answer.headers["Content-Security-Policy"]
    assert not re.search(r"<[^>]+\sstyle=", page)
    assert not re.search(r"<script(?![^>]*\ssrc=)", page)
    assert not re.search(r"\son[a-z]+=", page)


def test_no_address_names_a_child(signed_in) -> None:
    page = signed_in("agate").get("/line/l-1/").content.decode()

    addresses = re.findall(r'(?:href|action|hx-get)="([^"]+)"', page)

    assert addresses
    assert not [address for address in addresses if "orrel" in address]


def test_a_policy_without_an_answer_is_a_page_not_an_accident(
    signed_in, monkeypatch
) -> None:
    from lumenkeep.errors import Fault, NoRuleError
    from lumenkeep.web.pages import plan

    def no_rule(*_: object) -> None:
        raise NoRuleError(
            Fault("x", "No rule covers this day.", "p", "ask the educator")
        )

    monkeypatch.setattr(plan, "plan_change", no_rule)

    answer = signed_in("agate").get("/line/l-1/plan/")

    assert answer.status_code == 503
    assert (
        "No rule covers this day. Please ask the educator." in answer.content.decode()
    )
