"""The pages on infections: who sees them, what they say, and what a decision does."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import TYPE_CHECKING, Any

import pytest
from django.contrib.auth.models import User
from django.db import connection
from django.test.utils import CaptureQueriesContext
from tests.fakes.clock import NOON, FixedClock
from tests.web.hospital import add_line, make_wards

from lumenkeep.core.entries.kinds.of_infection import OF_INFECTION
from lumenkeep.demo.fill import make_accounts
from lumenkeep.demo.hospital import STAFF
from lumenkeep.ward.chart.models import EntryRow
from lumenkeep.ward.chart.records import Draft
from lumenkeep.ward.chart.store.repository import ChartRepository

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client

PASSWORD = "a password of some length"  # noqa: S105

FORMS = [
    *(kind.id for kind in OF_INFECTION if kind.form is not None),
    "line-tip",
    "line-access",
]


@pytest.fixture
def chart(db: None, clock: FixedClock) -> ChartRepository:
    make_wards()
    make_accounts(STAFF, PASSWORD)
    chart = ChartRepository(clock)
    add_line(chart, clock, 1)
    return chart


@pytest.fixture
def signed_in(client: Client, chart: ChartRepository) -> Callable[[str], Client]:
    def as_(name: str) -> Client:
        client.force_login(User.objects.get(username=name))
        return client

    return as_


def _write(
    chart: ChartRepository,
    kind: str,
    ago: timedelta,
    body: dict[str, Any],
    line: Any = None,
) -> int:
    draft = Draft("c-1", line, kind, NOON - ago, "s-flint", body)
    return chart.append([draft], "quillmere")[0].id


def _blood(
    chart: ChartRepository, ago: timedelta, *grown: str, draw: str = "arm"
) -> int:
    body = {
        "source": "blood", "draw": draw, "method": "culture", "result": "grew",
        "organisms": list(grown),
    }  # fmt: skip
    return _write(chart, "specimen", ago, body)


@pytest.fixture
def event(chart: ChartRepository) -> int:
    tip = {"tip": "great-vessel"}
    _write(chart, "line-tip", timedelta(days=9), tip, "l-1")
    return _blood(chart, timedelta(days=2), "Klebsiella oxytoca")


def _page(client: Client, path: str) -> str:
    answer = client.get(path)
    assert answer.status_code == 200
    return " ".join(re.sub(r"<[^>]+>", " ", answer.content.decode()).split())


def test_a_ward_says_how_many_belong_to_a_line(signed_in, event: int) -> None:
    page = _page(signed_in("basalt"), "/infections/ward/kestrel/")

    assert "1 infection belongs to a line on Kestrel." in page
    assert "The blood of Mon 23 Nov 2026 belongs to the line" in page
    assert "Proposed, not decided" in page


def test_a_period_before_it_holds_nothing(signed_in, event: int) -> None:
    page = _page(
        signed_in("basalt"), "/infections/ward/kestrel/?from=2026-09-01&to=2026-09-30"
    )

    assert "0 infections belong to a line on Kestrel. No blood grew anything." in page


def test_an_infection_says_the_answer_then_why(signed_in, event: int) -> None:
    page = _page(signed_in("agate"), f"/infections/blood/{event}/")

    says = page.index("The blood of Mon 23 Nov 2026 belongs to the line")
    why = page.index("The date of event is hospital day 9: healthcare-associated.")
    assert says < why
    assert "To be confirmed against the edition in force: 7 of 9 rules used." in page
    assert "Worked out by the rules of 2025; those of 2026 are not held here." in page
    assert "If line-day 1 had been after Sat 21 Nov 2026" in page


def test_evidence_leads_to_its_entry(signed_in, event: int) -> None:
    page = signed_in("agate").get(f"/infections/blood/{event}/").content.decode()

    assert f'href="/line/l-1/?entries=all#entry-{event}"' in page
    history = signed_in("agate").get("/line/l-1/?entries=all").content.decode()
    assert f'id="entry-{event}"' in history
    assert "Blood, arm: grew Klebsiella oxytoca" in history


def test_no_key_of_a_specimen_or_line_is_shown(signed_in, event: int) -> None:
    page = _page(signed_in("agate"), f"/infections/blood/{event}/")

    assert "l-1" not in page
    assert f"e{event}" not in page


def test_a_missing_tip_is_asked_for_with_its_form(signed_in, chart) -> None:
    event = _blood(chart, timedelta(days=2), "Klebsiella oxytoca")
    answer = signed_in("agate").get(f"/infections/blood/{event}/").content.decode()

    assert "belongs to the line cannot be said yet." in answer
    assert "In a great vessel: a central-line infection." in answer
    assert 'href="/infections/line/l-1/chart/line-tip/"' in answer
    assert "Confirm what is proposed" not in answer
    assert "Not a CLABSI" not in answer


@pytest.mark.parametrize(
    "path",
    [
        "/infections/ward/kestrel/",
        "/infections/ward/all/",
        "/infections/line/l-1/",
        "/infections/line/l-1/chart/sign/",
    ],
)
def test_another_ward_is_closed(signed_in, event: int, path: str) -> None:
    assert signed_in("onyx").get(path).status_code == 403


def test_an_infection_of_another_ward_is_closed(signed_in, event: int) -> None:
    answer = signed_in("onyx").get(f"/infections/blood/{event}/")

    assert answer.status_code == 403
    assert b"Sorrel" not in answer.content


def test_the_ward_the_child_left_still_sees_its_infection(
    signed_in, chart, event: int
) -> None:
    body = {"ward": "heron", "bed": "01", "unit": "ward"}
    _write(chart, "stay", timedelta(days=1), body)
    page = signed_in("basalt").get(f"/infections/blood/{event}/").content.decode()

    assert "belongs to the line" in page
    assert "#entry-" not in page  # the line's page is the other ward's now


def test_a_result_of_a_child_who_went_home_can_still_be_charted(
    signed_in, chart, event: int
) -> None:
    body = {"ward": None, "bed": None, "to": "home"}
    _write(chart, "stay", timedelta(days=1), body)
    client = signed_in("flint")
    page = client.get(f"/infections/blood/{event}/").content.decode()
    sent = {
        "at": "2026-11-25T11:00", "specimen": str(event), "result": "grew",
        "organisms": "S. aureus",
    }  # fmt: skip
    path = "/infections/line/l-1/chart/specimen-result/"

    assert f'href="/line/l-1/?entries=all#entry-{event}"' in page
    assert client.post(path, sent, follow=True).status_code == 200
    assert "Staphylococcus aureus" in _page(client, f"/infections/blood/{event}/")


@pytest.mark.parametrize("path", ["/infections/blood/999/", "/infections/ward/moon/"])
def test_what_is_not_there_is_not_found(signed_in, event: int, path: str) -> None:
    assert signed_in("agate").get(path).status_code == 404


@pytest.mark.parametrize("text", ["soon", "2026-13-01"])
def test_a_day_that_is_none_is_not_found(signed_in, event: int, text: str) -> None:
    path = f"/infections/ward/kestrel/?from={text}"

    assert signed_in("agate").get(path).status_code == 404


def _decide(client: Client, event: int, **typed: str) -> Any:
    page = client.get(f"/infections/blood/{event}/").content.decode()
    digest = re.search(r'name="proposal" value="([0-9a-f]+)"', page)
    assert digest is not None
    sent = {"proposal": digest[1], "submission": "d-1", **typed}
    return client.post(f"/infections/blood/{event}/", sent)


def test_a_confirmed_infection_says_by_whom(signed_in, event: int) -> None:
    client = signed_in("agate")
    answer = _decide(client, event, decision="confirmed", because="Seen together.")

    assert answer.url == f"/infections/blood/{event}/"
    page = _page(client, answer.url)
    assert "Confirmed as proposed" in page
    assert "Seen together." in page
    assert "Demo Agate, Wed 25 Nov 2026, 12:00" in page


def test_what_is_decided_otherwise_shows_what_was_proposed(
    signed_in, event: int
) -> None:
    client = signed_in("agate")
    _decide(
        client, event, decision="overridden", verdict="secondary", because="The bile."
    )
    page = _page(client, f"/infections/blood/{event}/")

    assert "The blood of Mon 23 Nov 2026 belongs to an infection elsewhere." in page
    assert "Proposed is still: The blood of Mon 23 Nov 2026 belongs to the line" in page
    listed = _page(client, "/infections/ward/kestrel/")
    assert "0 infections belong to a line on Kestrel. Each has been decided." in listed


def test_a_decision_about_an_older_proposal_asks_again(
    signed_in, chart, event: int
) -> None:
    client = signed_in("agate")
    _decide(client, event, decision="confirmed")
    _blood(chart, timedelta(days=1), "Staphylococcus aureus", draw="leg")
    page = _page(client, f"/infections/blood/{event}/")

    assert "That was about an older proposal (LCBI-1, Klebsiella oxytoca" in page
    assert "Proposed, not decided" in page


def test_a_refused_decision_keeps_what_was_typed(signed_in, event: int) -> None:
    answer = _decide(signed_in("agate"), event, decision="overridden", verdict="none")
    page = answer.content.decode()

    assert answer.status_code == 422
    assert "Nothing has been decided yet." in page
    assert '<option value="none" selected>' in page
    assert not EntryRow.objects.filter(kind="infection-decision").exists()


def test_a_charge_nurse_sees_no_form_and_is_refused(signed_in, event: int) -> None:
    client = signed_in("basalt")
    page = client.get(f"/infections/blood/{event}/").content.decode()
    answer = client.post(f"/infections/blood/{event}/", {"decision": "confirmed"})

    assert "Chart this decision" not in page
    assert answer.status_code == 422
    assert not EntryRow.objects.filter(kind="infection-decision").exists()


def test_a_decision_is_taken_back_by_those_who_decide(signed_in, event: int) -> None:
    _decide(signed_in("agate"), event, decision="confirmed")
    entry = EntryRow.objects.get(kind="infection-decision").pk
    path, sent = f"/line/l-1/entry/{entry}/correct/", {"because-wrong": "Too early."}

    refused = signed_in("basalt").post(path, sent)
    assert refused.status_code == 422
    assert b"was written by somebody else" in refused.content
    signed_in("beryl").post(path, sent)
    assert "Proposed, not decided" in _page(
        signed_in("agate"), f"/infections/blood/{event}/"
    )


def test_a_result_without_a_specimen_says_what_comes_first(signed_in) -> None:
    page = _page(signed_in("flint"), "/infections/line/l-1/chart/specimen-result/")

    assert "No specimen of this child is charted yet" in page


def test_a_childs_page_lists_what_waits_and_every_form(signed_in, chart) -> None:
    body = {
        "source": "blood", "draw": "arm", "method": "culture", "result": "pending",
        "organisms": [],
    }  # fmt: skip
    entry = _write(chart, "specimen", timedelta(hours=5), body)
    page = signed_in("flint").get("/infections/line/l-1/").content.decode()

    assert f"/infections/line/l-1/chart/specimen-result/?specimen={entry}" in page
    for kind in FORMS:
        assert f"/infections/line/l-1/chart/{kind}/" in page


@pytest.mark.parametrize("kind", list(FORMS))
def test_every_form_opens_and_refuses_an_empty_one(signed_in, kind: str) -> None:
    client = signed_in("flint")
    path = f"/infections/line/l-1/chart/{kind}/"

    assert client.get(path).status_code == 200
    answer = client.post(path, {"submission": "x"})
    assert answer.status_code == 422
    assert b"Nothing has been charted yet." in answer.content


def test_a_charted_sign_stands_in_the_lines_history(signed_in) -> None:
    client = signed_in("flint")
    sent = {"at": "2026-11-25T11:00", "kind": "temperature", "celsius": "38,6"}
    answer = client.post("/infections/line/l-1/chart/sign/", sent, follow=True)
    page = answer.content.decode()

    assert "On the chart: sign of infection" in page
    assert "38.6 °C" in page


def test_a_charted_specimen_is_corrected_on_its_own_form(signed_in, event: int) -> None:
    path = f"/line/l-1/entry/{event}/correct/"
    page = signed_in("agate").get(path).content.decode()
    assert "Klebsiella oxytoca</textarea>" in page
    sent = {
        "at": "2026-11-23T12:00", "source": "blood", "draw": "arm",
        "method": "culture", "result": "no-growth", "organisms": "",
    }  # fmt: skip
    signed_in("agate").post(path, sent)

    assert signed_in("agate").get(f"/infections/blood/{event}/").status_code == 404


def test_a_wards_list_takes_few_queries_however_many_children(
    signed_in, chart, clock, event: int
) -> None:
    client = signed_in("agate")
    client.get("/infections/ward/all/")
    with CaptureQueriesContext(connection) as few:
        client.get("/infections/ward/all/")
    for number in (2, 3, 4):
        add_line(chart, clock, number)
        body = {
            "source": "blood", "draw": "arm", "method": "culture", "result": "grew",
            "organisms": ["E. coli"],
        }  # fmt: skip
        draft = Draft(
            f"c-{number}", None, "specimen", NOON - timedelta(days=2), "s-1", body
        )
        chart.append([draft], "quillmere")
    with CaptureQueriesContext(connection) as many:
        client.get("/infections/ward/all/")

    assert len(many) == len(few)
