"""The look-back's pages: who sees them, what they say, where each figure leads."""

from __future__ import annotations

import json
import re
from typing import TYPE_CHECKING

import pytest
import scipy.optimize
import scipy.stats  # noqa: F401  its loading must not count as a test's time
from django.contrib.auth.models import User
from django.db import connection
from django.test.utils import CaptureQueriesContext
from tests.fakes.clock import FixedClock
from tests.web.hospital import add_line, make_wards

from lumenkeep.demo.fill import make_accounts
from lumenkeep.demo.hospital import STAFF
from lumenkeep.ward.chart.models import EntryRow
from lumenkeep.ward.chart.pages import context
from lumenkeep.ward.chart.store import repository
from lumenkeep.ward.chart.store.repository import ChartRepository
from lumenkeep.ward.site.data_folder import data_folder
from lumenkeep.web.look_back_run import LookBackCommand, look_back_run

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from django.test import Client

pytestmark = pytest.mark.django_db
PASSWORD = "a password of some length"  # noqa: S105
BEHIND = re.compile(r'href="(/look-back/kestrel/process/in-time-dressing/[^"]*)"')


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> FixedClock:
    still = FixedClock()
    monkeypatch.setattr(context, "SystemClock", lambda: still)
    monkeypatch.setattr(repository, "SystemClock", lambda: still)
    return still


@pytest.fixture
def hospital(db: None, clock: FixedClock) -> ChartRepository:
    """Two lines on Kestrel, charted ten days ago and changed six days later."""
    make_wards()
    make_accounts(STAFF, PASSWORD)
    chart = ChartRepository(clock)
    for number in (1, 2):
        add_line(chart, clock, number)
    return chart


@pytest.fixture
def signed_in(client: Client, hospital: ChartRepository) -> Callable[[str], Client]:
    def as_(name: str) -> Client:
        client.force_login(User.objects.get(username=name))
        return client

    return as_


def page(client: Client, path: str) -> str:
    answer = client.get(path)
    assert answer.status_code == 200, path
    return str(answer.content.decode())


def test_a_nurse_is_led_to_her_own_ward(signed_in) -> None:
    assert signed_in("flint").get("/look-back/").url == "/look-back/kestrel/"


def test_another_ward_is_closed(signed_in) -> None:
    for path in ("", "pdf/", "process/in-time-dressing/"):
        answer = signed_in("onyx").get(f"/look-back/kestrel/{path}")

        assert answer.status_code == 403
        assert b"Sorrel" not in answer.content


def test_the_page_says_what_came_in_time_and_what_is_not_known(signed_in) -> None:
    told = page(signed_in("agate"), "/look-back/kestrel/")

    assert "28 Aug to 25 Nov 2026, 90 days" in told
    assert "dressing changes" in told
    assert "What is not known here" in told
    assert "No hour of the count is set for this ward" in told
    assert "Sorrel" not in told


def test_each_figure_leads_to_its_entries_and_each_entry_to_its_line(
    signed_in,
) -> None:
    client = signed_in("agate")
    days = "?from=2026-11-01&to=2026-11-25"
    href = BEHIND.search(page(client, f"/look-back/kestrel/{days}"))
    assert href is not None

    behind = page(client, href.group(1).replace("&amp;", "&"))

    entry = EntryRow.objects.filter(kind="dressing-change", line="l-1").first()
    assert entry is not None
    assert f'href="/line/l-1/?entries=all#entry-{entry.pk}"' in behind
    assert f'id="entry-{entry.pk}"' in page(client, "/line/l-1/?entries=all")


def test_no_figure_of_that_name_is_no_page(signed_in) -> None:
    client = signed_in("agate")

    for path in ("nowhere/", "kestrel/process/nothing/", "kestrel/nothing/late/"):
        assert client.get(f"/look-back/{path}").status_code == 404


@pytest.mark.parametrize(
    ("days", "words"),
    [
        ("from=&to=2026-11-25", "Those are no two days; here are the last ninety."),
        ("from=2026-13-01&to=2026-11-25", "Those are no two days"),
        ("from=2026-11-25&to=2026-11-01", "The first day lies after the last"),
        ("from=2016-11-01&to=2026-11-25", "more than ten years before it"),
        ("from=9999-12-31&to=9999-12-31", "Those are no two days"),
        ("from=0001-01-01&to=0001-01-02", "Those are no two days"),
        ("from=2027-01-01&to=2027-01-02", "is still to come"),
    ],
)
def test_days_that_cannot_be_used_are_told(signed_in, days: str, words: str) -> None:
    told = page(signed_in("agate"), f"/look-back/kestrel/?{days}")

    assert words in told
    assert 'value="2026-08-28"' in told


def test_the_pdf_is_sent_under_a_name_that_says_its_days(signed_in) -> None:
    answer = signed_in("agate").get(
        "/look-back/kestrel/pdf/?from=2026-11-01&to=2026-11-25"
    )

    assert answer["Content-Type"] == "application/pdf"
    assert answer["Content-Disposition"] == (
        'inline; filename="look-back-kestrel-2026-11-01-2026-11-25.pdf"'
    )
    assert answer.content.startswith(b"%PDF-")


def test_more_lines_ask_no_more_of_the_database(
    signed_in, hospital: ChartRepository, clock: FixedClock
) -> None:
    client = signed_in("agate")
    counts = []
    for number in (0, 3, 4, 5):
        if number:
            add_line(hospital, clock, number)
        with CaptureQueriesContext(connection) as asked:
            page(client, "/look-back/kestrel/")
        counts.append(len(asked))

    assert len(set(counts[1:])) == 1, counts


# ------------------------------------------------------------------ the command


def asked(tmp_path: Path, **told: object) -> LookBackCommand:
    usual = {"first": None, "last": None, "pdf": None, "as_json": False}
    return LookBackCommand(**({"ward": "kestrel", "of_demo": False} | usual | told))


@pytest.fixture
def chart_there(
    hospital: ChartRepository, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Path:
    monkeypatch.setenv("LUMENKEEP_DATA", str(tmp_path))
    (tmp_path / "lumenkeep.sqlite3").touch()
    return tmp_path


def test_the_command_tells_the_same_as_the_page(chart_there: Path, capsys) -> None:
    assert look_back_run(asked(chart_there)) == 0

    told = capsys.readouterr().out
    assert told.startswith("Look back: Kestrel, 2026-08-28 to 2026-11-25\n")
    assert "Changes done in time\n" in told
    assert "Not known: No hour of the count is set for this ward" in told
    assert "Sorrel" not in told


def test_the_command_answers_in_json_and_as_a_pdf(chart_there: Path, capsys) -> None:
    pdf = chart_there / "heron.pdf"

    assert look_back_run(asked(chart_there, as_json=True, pdf=str(pdf))) == 0

    told = json.loads(capsys.readouterr().out)
    assert told["ward"] == "kestrel"
    assert {part["key"] for part in told["sections"]} >= {"process", "life", "policy"}
    assert pdf.read_bytes().startswith(b"%PDF-")


def test_the_command_names_the_wards_there_are(chart_there: Path, capsys) -> None:
    assert look_back_run(asked(chart_there, ward="plover")) == 2

    told = capsys.readouterr()
    assert told.out == ""
    assert "choose one of: kestrel, wren, heron" in told.err


def test_the_command_makes_no_chart_where_there_is_none(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys
) -> None:
    monkeypatch.setenv("LUMENKEEP_DATA", str(tmp_path))

    assert look_back_run(asked(tmp_path)) == 2
    assert "[look-back-no-chart]" in capsys.readouterr().err
    assert not list(tmp_path.iterdir())


def test_a_pdf_that_cannot_be_written_is_told(chart_there: Path, capsys) -> None:
    there = chart_there / "no" / "such" / "look.pdf"

    assert look_back_run(asked(chart_there, pdf=str(there))) == 2
    assert "[look-back-not-written]" in capsys.readouterr().err


def test_the_demos_chart_lies_in_a_folder_of_its_own(
    hospital: ChartRepository, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys
) -> None:
    monkeypatch.setenv("LUMENKEEP_DATA", str(tmp_path))
    monkeypatch.setenv("LUMENKEEP_DEMO", "0")
    (tmp_path / "demo").mkdir()
    (tmp_path / "demo" / "lumenkeep.sqlite3").touch()

    assert look_back_run(asked(tmp_path, of_demo=True)) == 0
    assert capsys.readouterr().out.startswith("Look back: Kestrel")
    assert data_folder() == tmp_path / "demo"
