"""The breaks in sterile technique as pages: found, ordered, and with their steps."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import pytest
from django.contrib.auth.models import User
from tests.fakes.clock import FixedClock
from tests.unit.core.rehearsal.test_rehearse import rows
from tests.web.hospital import make_wards

from lumenkeep.core.policy import load_policy
from lumenkeep.core.recovery.ways_of_branch import work_out_ways
from lumenkeep.core.rehearsal.procedure_files import bedside_of
from lumenkeep.demo.fill import make_accounts
from lumenkeep.demo.hospital import STAFF
from lumenkeep.ward.chart.pages import context
from lumenkeep.ward.guide.records import WaysSoFar
from lumenkeep.ward.policies.recovery import views

if TYPE_CHECKING:
    from django.test import Client

PASSWORD = "a password of some length"  # noqa: S105
LIST = "/policy/quillmere/breaks/"
TIP = f"{LIST}tip-touched/?branch=connector-change-1"


@pytest.fixture
def nurse(client: Client, db: None, monkeypatch: pytest.MonkeyPatch) -> Client:
    still = FixedClock()
    monkeypatch.setattr(context, "SystemClock", lambda: still)
    make_wards()
    make_accounts(STAFF, PASSWORD)
    client.force_login(User.objects.get(username="agate"))
    return client


class Ways:
    """Plays the port of ways back."""

    def __init__(self, said: WaysSoFar | None = None) -> None:
        self.said = said

    def of(self, set_name: str, policy: Any, question: Any) -> WaysSoFar:
        del set_name
        if self.said is not None:
            return self.said
        *_, last = work_out_ways(question, bedside_of(policy))
        return WaysSoFar(1.0, last["done"])


def page(nurse: Client, path: str) -> str:
    response = nurse.get(path)
    assert response.status_code == 200
    return response.content.decode()


def ids(text: str) -> list[str]:
    return re.findall(r'<li id="([a-z-]+)"', text)


def test_every_break_is_listed_the_most_frequent_first(nurse: Client) -> None:
    text = page(nurse, LIST)

    assert set(ids(text)) == {
        slip.id for slip in bedside_of(load_policy("quillmere")).slips
    }
    counts = [int(n) for n in re.findall(r"Assumed about (\d+) time", text)]
    assert counts == sorted(counts, reverse=True)
    assert len(set(counts)) > 1


def test_the_gravest_come_first_where_that_is_asked(nurse: Client) -> None:
    text = page(nurse, f"{LIST}?order=grave")

    calls = ["Always: stop, cover, call" in one for one in text.split('<li id="')[1:]]
    assert calls == sorted(calls, reverse=True)
    assert any(calls)
    assert not all(calls)
    assert nurse.get(f"{LIST}?order=loud").status_code == 404


@pytest.mark.parametrize(
    ("words", "id_"),
    [
        ("blood", "bleeding"),
        ("GLOVE", "glove-tears"),
        ("sharp finger", "sharp-in-finger"),
    ],
)
def test_a_break_is_found_by_any_word_of_it(
    nurse: Client, words: str, id_: str
) -> None:
    found = ids(page(nurse, f"{LIST}?find={words}"))

    assert id_ in found
    assert len(found) < len(ids(page(nurse, LIST)))


def test_what_nothing_holds_leads_back_to_all(nurse: Client) -> None:
    text = page(nurse, f"{LIST}?find=zebra")

    assert ids(text) == []
    assert "0 of 41 hold “zebra”" in text
    assert f'<a href="{LIST}">Show all</a>' in text


def test_one_break_says_what_to_do_at_each_step(
    nurse: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(views, "KeptWays", Ways)
    text = page(nurse, TIP)

    assert "A new connector, set or needle, filled like the first." in text
    expected = next(
        row
        for row in rows()
        if row["slip"] == "tip-touched" and row["ending"] == "way-back"
    )
    for act in expected["acts"]:
        assert act["says"] in text
    assert "If it happens at" in text
    assert "From the extra supplies: 1 × Needleless connector." in text


def test_while_it_is_worked_out_the_page_says_how_far_it_is(
    nurse: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(views, "KeptWays", lambda: Ways(WaysSoFar(0.4)))
    text = page(nurse, TIP)

    assert 'max="1" value="0.40"' in text
    assert 'http-equiv="refresh"' in text
    [href] = re.findall(r'hx-get="([^"]+)"', text)
    part = page(nurse, href)
    assert part.startswith("<section")
    assert f'hx-get="{href}"' in part


def test_what_failed_is_said_and_not_asked_for_ever(
    nurse: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(
        views, "KeptWays", lambda: Ways(WaysSoFar(0.4, None, "No room."))
    )
    text = page(nurse, TIP)

    assert "No room." in text
    assert 'http-equiv="refresh"' not in text
    assert "hx-get" not in text


@pytest.mark.parametrize(
    "path",
    ["/policy/none/breaks/", f"{LIST}tea/", f"{LIST}tip-touched/?branch=tea-1"],
)
def test_what_there_is_not_is_not_found(nurse: Client, path: str) -> None:
    assert nurse.get(path).status_code == 404


def test_nobody_reads_without_signing_in(client: Client, db: None) -> None:
    assert client.get(LIST).status_code == 302
