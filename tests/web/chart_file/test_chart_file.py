"""The chart goes into a file and out of it, whole or not at all."""

from __future__ import annotations

import io
import json
from datetime import timedelta
from typing import TYPE_CHECKING, Any

import pytest
import scipy.stats  # noqa: F401  its loading must not count as a test's time
from django.contrib.auth.models import User
from django.db import connection
from tests.fakes.chart_lines import row, text_of
from tests.fakes.clock import FixedClock
from tests.fakes.demo import demo_at
from tests.web.hospital import add_line, make_wards

from lumenkeep.core.entries import CHILD, every_kind
from lumenkeep.core.policy import load_policy
from lumenkeep.core.reading.read_chart import read_chart
from lumenkeep.demo.fill import make_accounts
from lumenkeep.demo.hospital import STAFF
from lumenkeep.errors import InputError
from lumenkeep.files.chart_reading import chart_as_json
from lumenkeep.ward.chart.models import (
    Child,
    EntryRow,
    LineNow,
    LinePlace,
    PolicyVersion,
)
from lumenkeep.ward.chart.pages import context
from lumenkeep.ward.chart.records import Draft
from lumenkeep.ward.chart.store import repository
from lumenkeep.ward.chart.store.children import ChildRepository
from lumenkeep.ward.chart.store.projection import ward_zones
from lumenkeep.ward.chart.store.repository import ChartRepository
from lumenkeep.ward.chart_file.carry import (
    Carried,
    bounds_of_chart,
    carried_out,
    carry_in,
)
from lumenkeep.ward.chart_file.chart_file import chart_file_line, read_chart_file
from lumenkeep.ward.infections.infections_of import infections_of
from lumenkeep.ward.site.guarding import guards_of
from lumenkeep.web import chart_file_run as run_module
from lumenkeep.web.chart_file_run import export_run, import_run

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from django.test import Client

    from lumenkeep.core.model.entry import Entry

pytestmark = pytest.mark.django_db
CHILD_ROWS = (
    row(1, "birth", {"born": "2026-11-01"}, line=None),
    row(2, "stay", {"ward": "kestrel", "bed": "K1"}, line=None),
)
LINE_ROW = row(3, "line-inserted", {"kind": "picc", "site": "upper-arm"})
LOOK = row(4, "site-check", {"signs": ["discharge"]})


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> FixedClock:
    still = FixedClock()
    monkeypatch.setattr(context, "SystemClock", lambda: still)
    monkeypatch.setattr(repository, "SystemClock", lambda: still)
    return still


@pytest.fixture
def here(db: None, monkeypatch: pytest.MonkeyPatch, clock: FixedClock) -> FixedClock:
    """The test database in place of a data folder's."""
    make_wards()
    monkeypatch.setattr(run_module, "is_there", lambda: True)
    monkeypatch.setattr(run_module, "set_up", lambda: None)
    monkeypatch.setattr(run_module, "migrate", lambda: None)
    return clock


def exported() -> str:
    return "".join(f"{chart_file_line(entry)}\n" for entry in carried_out(None))


def entries_in(text: str) -> Sequence[Entry]:
    return read_chart_file(io.BytesIO(text.encode()), "x.jsonl", bounds_of_chart())


def imported(clock: FixedClock, *rows: Any, dry_run: bool = False) -> Carried:
    return carry_in(entries_in(text_of(*rows)), "x.jsonl", clock, dry_run=dry_run)


def answer(text: str, clock: FixedClock) -> str:
    """Return what a file comes to, as text."""
    at = clock.at
    lines = read_chart(entries_in(text), at, load_policy("quillmere"), at.tzinfo)
    return json.dumps(chart_as_json(lines, at, at.tzinfo))


def without_ids(text: str) -> list[dict[str, Any]]:
    rows = [json.loads(line) for line in text.splitlines()]
    places = {one["id"]: place for place, one in enumerate(rows)}
    return [
        {**one, "id": places[one["id"]], "corrects": places.get(one["corrects"])}
        for one in rows
    ]


def wiped() -> None:
    """Empty the chart, as a new machine's is; only a test may."""
    with connection.cursor() as cursor:
        for name in guards_of("chart").names():
            cursor.execute(f"DROP TRIGGER {name}")
    for table in (LineNow, EntryRow, LinePlace, Child):
        table.objects.all().delete()


@pytest.mark.timeout(300)
def test_a_demo_ward_moves_to_another_chart_and_reads_alike(here: FixedClock) -> None:
    hospital = demo_at(here.at)
    of_ward = {
        e.child for e in hospital.entries
        if e.kind == "stay" and e.body.get("ward") == "heron"
    }  # fmt: skip
    told = [e for e in hospital.entries if e.child in sorted(of_ward)[:25]]
    text = "".join(f"{chart_file_line(e)}\n" for e in told)

    add_line(ChartRepository(here), here, 1)
    first = carry_in(entries_in(text), "x", here)
    again = carry_in(entries_in(text), "x", here)

    assert (first.written, first.there) == (len(told), 0)
    assert (again.written, again.there, again.children, again.lines) == (
        0, len(told), 0, 0,
    )  # fmt: skip
    moved = "".join(
        f"{chart_file_line(e)}\n" for e in carried_out(None) if e.child != "c-1"
    )
    assert [r["body"] for r in without_ids(moved) if r["kind"] == "weight"] == [
        r["body"] for r in without_ids(text) if r["kind"] == "weight"
    ]
    assert answer(moved, here) == answer(text, here)


def test_signs_that_nobody_sees_are_dropped_and_write_nothing_twice(
    here: FixedClock,
) -> None:
    def told(turned: str) -> list[Any]:
        note = f"swollen, {turned}21 mm"
        guide = {"remarks": turned, "unknown": [{"why": f"{turned}not asked"}]}
        return [
            row(1, "stay", {"ward": "kestrel", "bed": "04"}, line=None),
            row(2, "dressing-change", {"problems": note, "guide": guide}),
        ]

    first = imported(here, *told("\u202e"))
    again = imported(here, *told("\u202e"))
    plain = imported(here, *told(""))

    assert (first.written, again.written, plain.written) == (2, 0, 0)
    assert "\u202e" not in exported()
    assert EntryRow.objects.get(kind="dressing-change").body["problems"] == (
        "swollen, 21 mm"
    )


def test_signs_stored_before_leave_the_chart_as_they_would_come_in(
    here: FixedClock,
) -> None:
    chart = ChartRepository(here)
    add_line(chart, here, 1)
    body = {"note": "swollen, \u202e21 mm"}
    chart.append([Draft("c-1", "l-1", "site-check", here.at, "s", body)], "quillmere")
    text = exported()

    assert "\u202e" not in text
    assert carry_in(entries_in(text), "x.jsonl", here).written == 0


def test_written_and_corrected_entries_come_back_as_they_were(here: FixedClock) -> None:
    chart = ChartRepository(here)
    line = add_line(chart, here, 1)
    text = exported()
    wiped()

    carry_in(entries_in(text), "x", here)

    assert without_ids(exported()) == without_ids(text)
    found = chart.line(line)
    assert found is not None
    assert LineNow.objects.filter(line=line).exists()


def test_a_file_imported_twice_writes_nothing_the_second_time(here: FixedClock) -> None:
    rows = (*CHILD_ROWS, LINE_ROW, LOOK, {**LOOK, "id": 9, "corrects": 4})

    assert imported(here, *rows) == Carried(5, 0, 1, 1)
    assert imported(here, *rows) == Carried(0, 5, 0, 0)
    assert imported(here, *[{**one, "id": one["id"] + 50,
                             "corrects": one["corrects"] and one["corrects"] + 50}
                            for one in rows]) == Carried(0, 5, 0, 0)  # fmt: skip


def test_entries_alike_are_as_many_as_they_are(here: FixedClock) -> None:
    twins = (*CHILD_ROWS, LINE_ROW, LOOK, {**LOOK, "id": 5})

    assert imported(here, *CHILD_ROWS, LINE_ROW, LOOK).written == 4
    assert imported(here, *twins).written == 1
    assert imported(here, *twins).written == 0


def test_a_correction_may_come_later_than_what_it_corrects(here: FixedClock) -> None:
    imported(here, *CHILD_ROWS, LINE_ROW, LOOK)
    right = row(9, "site-check", {"signs": []}, corrects=4)

    assert imported(here, *CHILD_ROWS, LINE_ROW, LOOK, right).written == 1
    last = EntryRow.objects.get(body__signs=[])
    assert last.corrects is not None
    assert last.corrects.body == LOOK["body"]


def test_a_correction_may_have_the_smaller_id(here: FixedClock) -> None:
    imported(here, row(2, "weight", {"g": 900}, line=None, corrects=5),
             row(5, "weight", {"g": 9000}, line=None))  # fmt: skip

    assert EntryRow.objects.get(body__g=900).corrects.body == {"g": 9000}


def test_what_was_written_when_and_under_which_policy_is_kept(here: FixedClock) -> None:
    policy = {"set": "elsewhere", "version": "3 b", "digest": "feed"}
    late = {**LOOK, "written_at": "2026-11-20T11:00:00+00:00", "policy": policy}

    imported(here, *CHILD_ROWS, LINE_ROW, late)

    (found,) = [json.loads(r) for r in exported().splitlines() if "discharge" in r]
    assert (found["written_at"], found["policy"]) == (late["written_at"], policy)
    (birth,) = [json.loads(r) for r in exported().splitlines() if '"birth"' in r]
    assert birth["policy"]["set"] == load_policy("quillmere").id
    assert PolicyVersion.objects.get(digest="feed").files == []


def test_a_dry_run_says_what_would_be_written_and_writes_nothing(
    here: FixedClock, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "x.jsonl"
    file.write_text(text_of(*CHILD_ROWS, LINE_ROW))

    assert import_run(str(file), dry_run=True, of_demo=False) == 0
    assert capsys.readouterr().out == (
        "3 entries would be written, 0 there already.\n"
        "New: 1 child, 1 line. A new child is shown by its key.\n"
    )
    assert not EntryRow.objects.exists()
    assert not Child.objects.exists()
    assert import_run(str(file), dry_run=False, of_demo=False) == 0
    assert capsys.readouterr().out.startswith("3 entries written, 0 there already.")


def test_faults_come_at_once_and_nothing_is_half_written(
    here: FixedClock, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "x.jsonl"
    bad = (row(5, "finding", {"findings": ["wett"]}), row(6, "site-check", {"x": 1}))
    file.write_text(text_of(*CHILD_ROWS, LINE_ROW, *bad))

    assert import_run(str(file), dry_run=False, of_demo=False) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.count("[chart-file-") == 2
    assert not EntryRow.objects.exists()


@pytest.mark.parametrize(
    ("rows", "code"),
    [
        ((row(1, "stay", {"ward": "nowhere"}, line=None),), "no-such-ward"),
        ((row(1, "line-inserted", {}, child="c-9"),), "line-taken"),
        (
            (*CHILD_ROWS, LINE_ROW, LOOK, row(5, "site-check", {}, corrects=4)),
            "corrected-already",
        ),
    ],
)
def test_what_does_not_fit_this_chart_is_told(
    here: FixedClock, rows: Any, code: str
) -> None:
    right = row(5, "site-check", {"signs": ["red"]}, corrects=4)
    imported(here, *CHILD_ROWS, LINE_ROW, LOOK, right)
    before = EntryRow.objects.count()

    with pytest.raises(InputError) as caught:
        imported(here, *rows)

    assert [f.code for f in caught.value.faults] == [f"chart-file-{code}"]
    assert EntryRow.objects.count() == before


def test_an_imported_line_is_on_its_ward_and_held(
    here: FixedClock, client: Client
) -> None:
    make_accounts(STAFF, "a password of some length")
    imported(here, *CHILD_ROWS, LINE_ROW, LOOK)
    client.force_login(User.objects.get(username="flint"))

    assert "l-1" in client.get("/ward/kestrel/").content.decode()
    page = client.get("/line/l-1/")
    assert page.status_code == 200
    assert "Do not use" in page.content.decode()


@pytest.mark.timeout(120)
def test_entries_that_say_nothing_break_no_page(
    here: FixedClock, client: Client
) -> None:
    make_accounts(STAFF, "a password of some length")
    silent = [
        row(number, kind.id, {}, line=None if kind.about == CHILD else "l-1")
        for number, kind in enumerate(every_kind().values(), 10)
        if kind.id not in ("withdrawn", "line-removed")
    ]
    imported(here, *silent, row(90, "stay", {"ward": "kestrel"}, line=None,
                                happened_at="2026-11-21T08:00:00Z"))  # fmt: skip
    client.force_login(User.objects.get(username="flint"))

    for path in (
        "/ward/kestrel/",
        "/ward/kestrel/concerns/",
        "/ward/kestrel/handover/",
        "/line/l-1/",
        "/line/l-1/plan/",
        "/line/l-1/look/",
        "/infections/line/l-1/",
        "/infections/ward/kestrel/",
        "/outcomes/kestrel/",
        "/dressing-life/kestrel/",
        "/look-back/kestrel/",
    ):
        assert client.get(path).status_code == 200, path


@pytest.mark.timeout(120)
def test_a_line_that_nobody_said_was_put_in_is_seen(
    here: FixedClock, client: Client
) -> None:
    make_accounts(STAFF, "a password of some length")
    imported(here, CHILD_ROWS[1], LOOK)
    client.force_login(User.objects.get(username="flint"))

    for path in ("/ward/kestrel/", "/ward/kestrel/concerns/", "/line/l-1/",
                 "/line/l-1/plan/", "/line/l-1/look/"):  # fmt: skip
        page = client.get(path)
        assert page.status_code == 200, path
        assert "Do not use" in page.content.decode() or "look" in path, path


def test_a_decision_on_an_infection_stays_a_decision(here: FixedClock) -> None:
    hospital = demo_at(here.at)
    decided = next(e for e in hospital.entries if e.kind == "infection-decision")
    told = [e for e in hospital.entries if e.child == decided.child]
    text = "".join(f"{chart_file_line(e)}\n" for e in told)
    before = infections_of(decided.child, told, ward_zones())
    add_line(ChartRepository(here), here, 1)

    carry_in(entries_in(text), "x", here)

    here_too = ChildRepository().entries_of_child(decided.child)
    after = infections_of(decided.child, here_too, ward_zones())
    assert [one.status for one in after] == [one.status for one in before]
    assert any(one.decision is not None for one in after)
    assert carry_in(entries_in(text), "x", here).written == 0


def test_an_export_is_of_the_children_that_lay_on_the_ward(
    here: FixedClock, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    there = row(8, "stay", {"ward": "wren"}, line=None, child="c-2")
    imported(here, *CHILD_ROWS, LINE_ROW, there)

    assert export_run("kestrel", of_demo=False) == 0
    of_ward = capfdbinary.readouterr().out.decode()
    assert {json.loads(one)["child"] for one in of_ward.splitlines()} == {"c-1"}
    assert export_run(None, of_demo=False) == 0
    assert len(capfdbinary.readouterr().out.splitlines()) == 4
    assert export_run("nowhere", of_demo=False) == 2
    assert capfdbinary.readouterr().out == b""


def test_without_a_chart_nothing_is_exported_and_none_is_made(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("LUMENKEEP_DATA", str(tmp_path))

    assert export_run(None, of_demo=False) == 2
    assert import_run("x", dry_run=True, of_demo=False) == 2
    assert capsys.readouterr().err.count("[chart-not-there]") == 2
    assert list(tmp_path.iterdir()) == []


def test_a_clock_that_is_wrong_by_a_day_changes_no_entry(here: FixedClock) -> None:
    imported(here, *CHILD_ROWS)
    here.at += timedelta(days=1)

    assert imported(here, *CHILD_ROWS).written == 0
