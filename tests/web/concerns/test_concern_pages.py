"""Concerns in the pages: seen at once, on the list until closed, closed by whom it may."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

import pytest
from django.contrib.auth.models import User
from django.db import connection
from django.test.utils import CaptureQueriesContext
from tests.fakes.clock import FixedClock
from tests.web.hospital import add_line, make_wards

from lumenkeep.demo.fill import make_accounts
from lumenkeep.demo.hospital import STAFF
from lumenkeep.ward.chart.models import EntryRow, LinePlace, Ward
from lumenkeep.ward.chart.records import Draft
from lumenkeep.ward.chart.store.repository import ChartRepository
from lumenkeep.ward.concerns import listing as concern_list
from lumenkeep.ward.concerns.keep import keep_open_lines
from lumenkeep.ward.concerns.models import OpenLineRow

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client

PASSWORD = "a password of some length"  # noqa: S105
LOOK = {"signs-site": ["discharge"], "looked-at": "2026-11-25 11:30", "submission": "f"}
HOLD = b"Do not use the line until the prescriber has said"


@pytest.fixture
def hospital(db: None, clock: FixedClock) -> ChartRepository:
    make_wards()
    make_accounts(STAFF, PASSWORD)
    chart = ChartRepository(clock)
    clock.at -= timedelta(days=1)
    for number in (1, 2):
        add_line(chart, clock, number)
    clock.at += timedelta(days=1)
    return chart


@pytest.fixture
def signed_in(client: Client, hospital: ChartRepository) -> Callable[[str], Client]:
    def as_(name: str) -> Client:
        client.force_login(User.objects.get(username=name))
        return client

    return as_


def looked(client: Client, **more) -> str:
    """Chart pus at the site; return the address of its concern."""
    client.post("/line/l-1/look/", {**LOOK, **more})
    entry = EntryRow.objects.get(kind="site-check")
    return f"/line/l-1/concern/pus:{entry.pk}/"


def test_what_is_charted_raises_a_concern_on_the_very_next_screen(signed_in) -> None:
    client = signed_in("flint")
    answer = client.post("/line/l-1/look/", LOOK, follow=True)
    page = answer.content

    assert answer.redirect_chain
    assert b"One concern is open" in page
    assert HOLD in page
    assert page.index(HOLD) < page.index(b"Open the change plan")


def test_a_moved_line_is_marked_on_its_strip_and_counted(signed_in, hospital) -> None:
    at = FixedClock().at - timedelta(hours=2)
    body = {"external_length_mm": 38, "signs": []}
    hospital.append([Draft("c-1", "l-1", "site-check", at, "s-1", body)], "quillmere")
    page = signed_in("flint").get("/ward/kestrel/").content.decode()

    assert "Concern: moved 18 mm out, do not use, overdue" in page
    assert "1 concern is open, 1 overdue." in page


def test_the_strips_asked_for_again_are_marked_too(signed_in) -> None:
    client = signed_in("flint")
    looked(client)

    page = client.get("/ward/kestrel/strips/?seen=1").content.decode()
    assert "Concern: pus or other discharge, do not use" in page


def test_a_concern_is_taken_on_at_one_touch_and_once(signed_in) -> None:
    client = signed_in("flint")
    href = looked(client)
    for _ in range(2):
        answer = client.post(f"{href}take/", {"submission": "t-1"}, follow=True)

    assert b"Demo Flint has taken it on, to settle it by today 20:00." in answer.content
    assert EntryRow.objects.filter(kind="concern-acknowledged").count() == 1


def test_a_nurse_is_told_who_closes_a_held_line(signed_in) -> None:
    client = signed_in("flint")
    href = looked(client)
    refused = client.post(
        f"{href}close/", {"outcome": "settled", "note": "gone", "submission": "c"}
    )

    assert b"the charge nurse or the educator closes it" in client.get(href).content
    assert refused.status_code == 422
    assert not EntryRow.objects.filter(kind="concern-closed").exists()


def test_the_charge_nurse_closes_it_and_it_leaves_the_list(signed_in) -> None:
    href = looked(signed_in("flint"))
    client = signed_in("basalt")
    assert b"1 concern is open" in client.get("/ward/kestrel/concerns/").content
    client.post(
        f"{href}close/", {"outcome": "settled", "note": "no growth", "submission": "c"}
    )

    assert b"No concern is open." in client.get("/ward/kestrel/concerns/").content
    assert b"Closed concerns" in client.get("/line/l-1/").content
    assert not OpenLineRow.objects.exists()


def test_a_closing_taken_back_puts_it_on_the_list_again(signed_in) -> None:
    href = looked(signed_in("flint"))
    client = signed_in("basalt")
    client.post(f"{href}close/", {"outcome": "settled", "note": "x", "submission": "c"})
    closing = EntryRow.objects.get(kind="concern-closed")
    client.post(
        f"/line/l-1/entry/{closing.pk}/correct/",
        {"do": "withdraw", "because-wrong": "another child", "submission": "w"},
    )

    assert b"1 concern is open" in client.get("/ward/kestrel/concerns/").content


def test_handed_on_it_waits_for_the_next_and_says_what_they_must_know(
    signed_in,
) -> None:
    client = signed_in("flint")
    href = looked(client)
    client.post(
        f"{href}hand-on/", {"to": "s-chalk", "note": "Swab sent.", "submission": "h"}
    )
    page = client.get("/ward/kestrel/handover/").content.decode()

    assert "Handed on: Demo Chalk takes it on by today 13:00." in page
    assert "Swab sent." in page


def test_a_line_taken_out_and_a_child_who_left_stay_on_the_list(
    signed_in, hospital
) -> None:
    client = signed_in("basalt")
    looked(client)
    at = FixedClock().at
    hospital.append(
        [Draft("c-1", "l-1", "line-removed", at, "s-1", {"reason": "x"}),
         Draft("c-1", None, "stay", at, "s-1", {"ward": None, "bed": None})],
        "quillmere",
    )  # fmt: skip
    page = client.get("/ward/kestrel/concerns/").content.decode()

    assert "line taken out" in page
    assert "1 concern is open" in page
    assert "The line was taken out Wed 25 Nov, 12:00." in page


def test_a_concern_of_a_child_who_left_can_be_closed(signed_in, hospital) -> None:
    client = signed_in("basalt")
    href = looked(client)
    stay = Draft("c-1", None, "stay", FixedClock().at, "s-1", {"ward": None})
    hospital.append([stay], "quillmere")
    client.post(
        f"{href}close/", {"outcome": "settled", "note": "told them", "submission": "c"}
    )

    assert EntryRow.objects.filter(kind="concern-closed").count() == 1
    assert b"No concern is open." in client.get("/ward/kestrel/concerns/").content


def test_a_worry_is_raised_by_hand(signed_in) -> None:
    client = signed_in("flint")
    client.post(
        "/line/l-1/raise/",
        {"what": "His arm looks bigger.", "seen-at": "2026-11-25 11:50",
         "submission": "r"},
    )  # fmt: skip

    assert b"His arm looks bigger." in client.get("/ward/kestrel/").content


@pytest.mark.parametrize(
    "path",
    [
        "/ward/kestrel/concerns/",
        "/ward/kestrel/handover/",
        "/line/l-1/look/",
        "/line/l-1/raise/",
    ],
)
def test_another_ward_is_closed(signed_in, path: str) -> None:
    answer = signed_in("onyx").get(path)

    assert answer.status_code == 403
    assert b"Sorrel" not in answer.content


def test_another_ward_cannot_be_acted_on(signed_in) -> None:
    href = looked(signed_in("flint"))
    client = signed_in("onyx")

    assert client.get(href).status_code == 403
    assert client.post(f"{href}take/", {"submission": "t"}).status_code == 403
    assert client.post(f"{href}close/", {"submission": "t"}).status_code == 403


def test_all_wards_list_a_nurse_her_own_alone(signed_in) -> None:
    looked(signed_in("flint"))

    assert b"Sorrel" not in signed_in("onyx").get("/ward/all/concerns/").content
    assert b"Sorrel 1" in signed_in("agate").get("/ward/all/concerns/").content


@pytest.mark.parametrize(
    "path", ["/line/l-1/concern/pus:999/", "/line/l-1/concern/nothing/close/"]
)
def test_what_is_no_concern_says_so(signed_in, path: str) -> None:
    assert signed_in("agate").get(path).status_code == 404


def test_taking_on_what_is_not_there_goes_back_to_the_line(signed_in) -> None:
    answer = signed_in("agate").post(
        "/line/l-1/concern/pus:999/take/", {"submission": "t"}, follow=True
    )

    assert b"This line has no such concern" in answer.content


def test_a_faulty_policy_of_a_ward_is_said_and_keeps_its_lines(signed_in) -> None:
    client = signed_in("agate")
    Ward.objects.filter(key="kestrel").update(policy_set="no-such-set")
    keep_open_lines(LinePlace.objects.values_list("key", flat=True))

    assert OpenLineRow.objects.count() == 2
    page = client.get("/ward/all/concerns/").content
    assert b"The policy of Kestrel gives no answer" in page


def test_worked_out_anew_it_is_the_same(signed_in) -> None:
    looked(signed_in("flint"))
    before = list(OpenLineRow.objects.values())
    OpenLineRow.objects.all().delete()
    keep_open_lines(LinePlace.objects.values_list("key", flat=True))

    assert list(OpenLineRow.objects.values()) == before


def test_the_list_takes_as_many_queries_for_one_line_as_for_two(
    signed_in, hospital
) -> None:
    client = signed_in("agate")

    def queries() -> int:
        with CaptureQueriesContext(
            connection,
        ) as counted:
            client.get("/ward/kestrel/concerns/")
        return len(counted)

    looked(client)
    one = queries()
    at = FixedClock().at - timedelta(hours=1)
    draft = Draft("c-2", "l-2", "site-check", at, "s-1", {"signs": ["discharge"]})
    hospital.append([draft], "quillmere")

    assert queries() == one


def test_a_port_alone_is_asked_about_a_port(signed_in, hospital, clock) -> None:
    client = signed_in("agate")
    clock.at -= timedelta(days=1)
    add_line(hospital, clock, 3, kind="port", site="chest", external_length_mm=None)
    clock.at += timedelta(days=1)

    assert b"Port swollen" not in client.get("/line/l-1/look/").content
    assert b"Port swollen" in client.get("/line/l-3/look/").content


def test_what_is_kept_of_a_line_goes_when_anything_is_charted_on_it(
    signed_in, hospital
) -> None:
    client = signed_in("flint")
    looked(client)
    assert b"proposal" not in client.get("/ward/kestrel/concerns/").content
    draft = Draft("c-1", "l-1", "site-check", FixedClock().at, "s-1", {"signs": []})
    hospital.append([draft], "quillmere")

    assert b"It may be closed" in client.get("/ward/kestrel/concerns/").content


def test_a_second_look_at_the_list_reads_no_entries(signed_in) -> None:
    client = signed_in("flint")
    looked(client)
    concern_list._KEPT.clear()
    with CaptureQueriesContext(connection) as first:
        client.get("/ward/kestrel/concerns/")
    with CaptureQueriesContext(connection) as again:
        client.get("/ward/kestrel/concerns/")

    assert any("chart_entry" in query["sql"] for query in first)
    assert not any("chart_entry" in query["sql"] for query in again)
