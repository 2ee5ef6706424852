"""The dressing-life page: who may see what, what is asked, what is refused."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import TYPE_CHECKING

import pytest
import scipy.special  # noqa: F401  its slow import belongs to no test's time
from django.contrib.auth.models import User
from django.db import connection
from django.test.utils import CaptureQueriesContext
from tests.web.hospital import add_line, make_wards

from lumenkeep.demo.fill import make_accounts
from lumenkeep.demo.hospital import STAFF
from lumenkeep.ward.chart.records import Draft
from lumenkeep.ward.chart.store.repository import ChartRepository

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client
    from tests.fakes.clock import FixedClock

PASSWORD = "a password of some length"  # noqa: S105


@pytest.fixture
def hospital(db: None, clock: FixedClock) -> ChartRepository:
    """Six lines on Kestrel whose second dressing was found damp, one line on Heron."""
    make_wards()
    make_accounts(STAFF, PASSWORD)
    chart = ChartRepository(clock)
    for number in range(1, 7):
        add_line(chart, clock, number, site="femoral" if number > 3 else "upper-arm")
        fail(chart, clock, number)
    add_line(chart, clock, 7, ward="heron")
    return chart


def fail(chart: ChartRepository, clock: FixedClock, number: int) -> None:
    """Chart that the present dressing was found damp, and changed an hour later."""
    child, line = f"c-{number}", f"l-{number}"
    seen = clock.at - timedelta(days=2)
    chart.append(
        [
            Draft(child, line, "finding", seen, "s-1", {"findings": ["damp"]}),
            Draft(
                child, line, "dressing-change", seen + timedelta(hours=1), "s-1",
                {"dressing": "transparent-chg-gel", "because": "damp"},
            ),
        ],
        "quillmere",
    )  # fmt: skip


@pytest.fixture
def read(client: Client, hospital: ChartRepository) -> Callable[..., tuple[int, str]]:
    def read_as(name: str, path: str) -> tuple[int, str]:
        client.force_login(User.objects.get(username=name))
        answer = client.get(f"/dressing-life/{path}")
        text = re.sub(r"<[^>]+>", " ", answer.content.decode())
        return answer.status_code, re.sub(r"\s+", " ", text)

    return read_as


def test_the_answer_is_one_sentence_of_a_hundred_dressings(read) -> None:
    code, text = read("agate", "kestrel/")

    assert code == 200
    assert re.search(
        r"Of 100 dressings on Kestrel, about \d+ fail before day 7 \(\d+ to \d+\)\.",
        text,
    )
    assert "From 18 dressings on 6 lines of 6 children" in text


def test_groups_are_compared_and_the_doubts_are_said(read) -> None:
    _, text = read("agate", "kestrel/?split=site")

    assert "Groin (femoral)" in text
    assert "By site: the differences may be chance (log-rank test chosen" in text
    assert "A failure that nobody charted is not here" in text
    assert "one of twenty" in text


def test_each_failure_leads_to_its_entry(client, read) -> None:
    read("agate", "kestrel/")
    page = client.get("/dressing-life/kestrel/").content.decode()
    hrefs = re.findall(r'href="(/line/l-\d/)\?entries=all#(entry-\d+)"', page)

    assert len(hrefs) == 6
    line, entry = hrefs[0]
    assert f'id="{entry}"' in client.get(f"{line}?entries=all").content.decode()


def test_without_a_failure_the_upper_limit_is_said(read) -> None:
    _, text = read("agate", "heron/?day=3")

    assert "none fails before day 3 as far as seen; it may be up to" in text


def test_too_little_watched_gives_no_number(read) -> None:
    _, text = read("agate", "heron/?first=2026-11-20")

    assert "Nobody can say yet how many of 100 dressings on Heron fail" in text


def test_nothing_charted_is_said_and_can_be_asked_anew(read) -> None:
    code, text = read("agate", "wren/?kind=gauze")

    assert code == 200
    assert "No dressing on Wren is charted for what was asked." in text
    assert "Count again" in text


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("day=0", "That day cannot be asked for."),
        ("day=soon", "That day cannot be asked for."),
        ("first=2026-02-30", "This is no day of the calendar."),
        ("kind=wool", "That is no kind of dressing known here."),
        ("split=colour", "Dressings cannot be grouped by &#x27;colour&#x27;."),
    ],
)
def test_what_cannot_be_asked_is_refused_without_an_answer(read, query, said) -> None:
    code, text = read("agate", f"kestrel/?{query}")

    assert code == 400
    assert said in text
    assert "Of 100" not in text


def test_all_faults_come_together(read) -> None:
    _, text = read("agate", "kestrel/?day=soon&first=x&last=y&split=colour")

    assert text.count("This is no day of the calendar.") == 2
    assert "cannot be grouped" in text
    assert "That day" in text


def test_a_nurse_sees_her_own_ward_alone(read) -> None:
    assert read("quartz", "heron/")[0] == 200
    assert read("quartz", "kestrel/")[0] == 403
    code, text = read("quartz", "all/?day=3")
    assert code == 200
    assert "From 2 dressings on 1 line of 1 child;" in text


def test_a_ward_that_is_none_is_not_found(read) -> None:
    assert read("agate", "lark/")[0] == 404


def test_the_page_needs_few_queries_however_many_lines(client, read) -> None:
    read("agate", "kestrel/")
    with CaptureQueriesContext(connection) as few:
        client.get("/dressing-life/heron/")
    with CaptureQueriesContext(connection) as many:
        client.get("/dressing-life/all/?split=kind")

    assert len(many) == len(few)
