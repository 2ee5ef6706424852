"""Line rounds through Django's client: what is asked, kept, shown, and to whom."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import TYPE_CHECKING

import pytest
from django.contrib.auth.models import User
from django.db import DatabaseError, IntegrityError, connection, transaction
from django.db.migrations.executor import MigrationExecutor
from tests.fakes.clock import FixedClock
from tests.web.hospital import add_line, make_wards

from lumenkeep.demo.fill import make_accounts
from lumenkeep.demo.hospital import STAFF
from lumenkeep.ward.chart.models import EntryRow
from lumenkeep.ward.chart.store.repository import ChartRepository
from lumenkeep.ward.rounds.models import LookRow
from lumenkeep.ward.site.guarding import guards_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client

GUARDS = guards_of("rounds")
PASSWORD = "a password of some length"  # noqa: S105
ITEMS = (
    "need-discussed", "dressing-whole", "dressing-dated", "set-dated",
    "hub-scrubbed", "hands-clean", "securement-whole", "bathed",
)  # fmt: skip
ALL_KEPT = {f"item-{item}": "kept" for item in ITEMS}


@pytest.fixture
def as_(client: Client, db: None, clock: FixedClock) -> Callable[[str], Client]:
    make_wards()
    make_accounts(STAFF, PASSWORD)
    chart = ChartRepository(clock)
    clock.at -= timedelta(days=1)
    for number in (1, 2):
        add_line(chart, clock, number)
    clock.at += timedelta(days=1)

    def sign_in(name: str) -> Client:
        client.force_login(User.objects.get(username=name))
        return client

    return sign_in


def test_a_look_is_kept_and_the_round_says_which_bed_is_next(as_) -> None:
    client = as_("flint")

    answer = client.post(
        "/line/l-1/round/", {**ALL_KEPT, "submission": "r-1"}, follow=True
    )

    row = LookRow.objects.get()
    assert (row.ward_id, row.line_id, row.observer) == ("kestrel", "l-1", "s-flint")
    assert row.from_unit
    assert row.answers["need-discussed"] == "kept"
    assert b"nothing seen amiss" in answer.content


def test_the_same_form_sent_twice_is_kept_once(as_) -> None:
    client = as_("flint")

    for _ in range(2):
        client.post("/line/l-1/round/", {**ALL_KEPT, "submission": "r-1"})

    assert LookRow.objects.count() == 1


def test_every_item_left_open_is_named_at_once_and_nothing_is_kept(as_) -> None:
    answer = as_("flint").post(
        "/line/l-1/round/",
        {"item-need-discussed": "kept", "note": "seen at the door"},
    )

    assert answer.status_code == 422
    assert answer.content.count(b"nothing is filled in") >= 6
    assert b"seen at the door" in answer.content
    assert not LookRow.objects.exists()


def test_whose_work_was_seen_is_asked_in_the_order_of_the_people(as_) -> None:
    client = as_("flint")
    page = client.get("/line/l-1/round/").content.decode()
    offered = re.findall(r'<option value="(s-[a-z]+)"', page)

    answer = client.post("/line/l-1/round/", {**ALL_KEPT, "observed": "nobody"})

    assert len(offered) > 2
    assert f"lease choose one of: {', '.join(offered)}." in answer.content.decode()


def test_an_educator_says_whether_she_belongs_to_the_unit(as_) -> None:
    client = as_("agate")
    sent = {**ALL_KEPT, "submission": "r-2"}

    assert client.post("/line/l-1/round/", sent).status_code == 422
    client.post("/line/l-1/round/", {**sent, "belongs": "outside"})

    assert not LookRow.objects.get().from_unit


def test_a_look_sent_twice_is_kept_once_and_a_changed_one_refused(as_) -> None:
    client = as_("flint")
    sent = {**ALL_KEPT, "submission": "r-1"}
    for _ in range(2):
        assert client.post("/line/l-1/round/", sent).status_code == 302

    changed = client.post("/line/l-1/round/", {**sent, "note": "and bleeding"})

    assert changed.status_code == 503
    assert b"what the form says now is not" in changed.content
    assert LookRow.objects.count() == 1


def test_another_ward_is_closed(as_) -> None:
    client = as_("onyx")

    for path in ("/line/l-1/round/", "/ward/kestrel/round/", "/ward/kestrel/rounds/"):
        assert client.get(path).status_code == 403


def test_whose_work_was_seen_is_shown_to_educators_only(as_) -> None:
    as_("flint").post(
        "/line/l-1/round/", {**ALL_KEPT, "observed": "s-garnet", "submission": "r-1"}
    )

    nurse = as_("chalk").get("/ward/kestrel/rounds/").content
    own = as_("flint").get("/ward/kestrel/rounds/").content
    educator = as_("agate").get("/ward/kestrel/rounds/").content

    # The list of people to choose from stands on another page.
    assert b"Garnet" not in nurse
    assert b"Flint</" not in nurse.split(b"looks behind it")[1]
    assert b"Garnet" not in own
    assert b"Work seen: Demo Garnet" in educator


def test_the_two_kinds_of_observers_are_shown_apart(as_) -> None:
    as_("flint").post("/line/l-1/round/", {**ALL_KEPT, "submission": "r-1"})
    as_("agate").post(
        "/line/l-2/round/",
        {
            **ALL_KEPT,
            "item-dressing-whole": "not-kept",
            "findings": ["loose"],
            "belongs": "outside",
            "submission": "r-2",
        },
    )

    page = as_("agate").get("/ward/kestrel/rounds/").content.decode()

    assert "People of the unit found everything kept in 100 % of 1 look" in page
    assert "people from outside found everything kept in 0 % of 1 look" in page
    assert "never added up" in page


def test_what_is_seen_on_a_round_is_on_the_chart(as_) -> None:
    client = as_("flint")
    sent = {**ALL_KEPT, "item-dressing-whole": "not-kept", "submission": "r-1"}

    asked = client.post("/line/l-1/round/", sent)
    assert asked.status_code == 422
    assert b"What was found is not said." in asked.content
    seen = {"findings": ["loose"], "signs-site": ["bleeding"]}
    for _ in range(2):
        client.post("/line/l-1/round/", {**sent, **seen})

    rows = EntryRow.objects.filter(kind__in=("finding", "site-check"))
    assert [row.kind for row in rows.order_by("kind")] == ["finding", "site-check"]
    assert LookRow.objects.count() == 1
    assert b"leeding or oozing" in client.get("/line/l-1/").content


def test_a_look_is_not_kept_without_what_was_seen(as_, monkeypatch) -> None:
    client = as_("flint")
    sent = {**ALL_KEPT, "item-dressing-whole": "not-kept", "submission": "r-1"}
    seen = {"findings": ["loose"]}

    def fails(*_: object, **__: object) -> None:
        raise DatabaseError

    with monkeypatch.context() as broken:
        broken.setattr(ChartRepository, "_written", fails)
        refused = client.post("/line/l-1/round/", {**sent, **seen})
    assert refused.status_code == 503
    assert LookRow.objects.count() == 0

    # What is put right and sent again is kept whole.
    client.post("/line/l-1/round/", {**sent, "findings": ["damp"]})
    assert LookRow.objects.count() == 1
    [row] = EntryRow.objects.filter(kind="finding")
    assert row.body["findings"] == ["damp"]


def test_a_look_is_put_right_by_another_that_takes_its_place(as_) -> None:
    client = as_("flint")
    client.post("/line/l-1/round/", {**ALL_KEPT, "submission": "r-1"})
    first = LookRow.objects.get()

    form = client.get(f"/line/l-1/round/?corrects={first.pk}").content.decode()
    client.post(
        "/line/l-1/round/",
        {
            **ALL_KEPT,
            "item-hub-scrubbed": "not-seen",
            "corrects": first.pk,
            "submission": "r-2",
        },
    )
    page = client.get("/ward/kestrel/rounds/").content.decode()

    assert 'value="kept" checked' in form
    assert LookRow.objects.count() == 2
    assert "1 look at 1 line" in page
    assert "1 answer was" in page


def test_nobody_corrects_a_peers_look(as_) -> None:
    as_("flint").post("/line/l-1/round/", {**ALL_KEPT, "submission": "r-1"})
    first = LookRow.objects.get()

    answer = as_("chalk").post(
        "/line/l-1/round/", {**ALL_KEPT, "corrects": first.pk, "submission": "r-2"}
    )

    assert answer.status_code == 422
    assert b"Somebody else looked at this line" in answer.content
    assert LookRow.objects.count() == 1


def test_looks_from_outside_do_not_fill_the_units_plan(as_, clock) -> None:
    as_("agate").post(
        "/line/l-1/round/", {**ALL_KEPT, "belongs": "outside", "submission": "r-1"}
    )
    clock.at += timedelta(days=1)

    page = as_("flint").get("/ward/kestrel/round/").content.decode()

    assert "0 looks by people of the unit and 1 from outside before today" in page


def test_who_corrects_a_look_does_not_become_its_observer(as_) -> None:
    as_("flint").post(
        "/line/l-1/round/",
        {**ALL_KEPT, "observed": "s-garnet", "note": "two hubs", "submission": "r-1"},
    )
    first = LookRow.objects.get()
    educator = as_("agate")

    form = educator.get(f"/line/l-1/round/?corrects={first.pk}").content.decode()
    educator.post(
        "/line/l-1/round/",
        {
            **ALL_KEPT,
            "item-hub-scrubbed": "not-seen",
            "observed": "s-garnet",
            "note": "two hubs",
            "corrects": first.pk,
            "submission": "r-2",
        },
    )
    now = LookRow.objects.get(corrects=first.pk)

    assert "Do you belong" not in form
    assert "two hubs" in form
    assert '<option value="s-garnet" selected' in form
    assert (now.observer, now.from_unit, now.by) == (first.observer, True, "s-agate")
    assert (now.ward_id, now.at) == (first.ward_id, first.at)
    assert first.by is None


@pytest.mark.parametrize(
    "days",
    ["to=9999-12-31", "to=0001-01-05", "from=9999-12-31&to=9999-12-31", "from=soon"],
)
def test_days_off_the_calendar_are_told_and_break_nothing(as_, days: str) -> None:
    page = as_("flint").get(f"/ward/kestrel/rounds/?{days}")

    assert page.status_code == 200
    assert b"these are the last ninety days" in page.content


def test_a_look_is_not_corrected_twice(as_) -> None:
    client = as_("flint")
    client.post("/line/l-1/round/", {**ALL_KEPT, "submission": "r-1"})
    first = LookRow.objects.get()
    for form in ("r-2", "r-3"):
        answer = client.post(
            "/line/l-1/round/", {**ALL_KEPT, "corrects": first.pk, "submission": form}
        )

    assert answer.status_code == 503
    assert b"corrected already" in answer.content
    assert LookRow.objects.count() == 2


def test_a_ward_without_a_look_says_so(as_) -> None:
    page = as_("flint").get("/ward/kestrel/rounds/").content

    assert b"Nobody has looked at a line in this time." in page


def test_the_lot_names_lines_to_visit(as_) -> None:
    page = as_("flint").get("/ward/kestrel/round/").content.decode()

    assert "to look at today" in page
    assert "0 looks by people of the unit and 0 from outside" in page


def _row() -> LookRow:
    make_wards()
    clock = FixedClock()
    add_line(ChartRepository(clock), clock, 1)
    return LookRow.objects.create(
        ward_id="kestrel", line_id="l-1", at=clock.at, written_at=clock.at,
        observer="s-flint", from_unit=True, answers={}, policy="x", submission="s-1",
    )  # fmt: skip


@pytest.mark.django_db
def test_the_database_itself_keeps_looks_as_they_are() -> None:
    row = _row()
    row.note = "other"
    replace = (
        "INSERT OR REPLACE INTO rounds_look SELECT * FROM rounds_look WHERE id = 1"
    )

    def sql() -> None:
        with connection.cursor() as cursor:
            cursor.execute(replace.replace("id = 1", f"id = {row.pk}"))

    for act in (
        row.save,
        row.delete,
        lambda: LookRow.objects.update(note="other"),
        lambda: LookRow.objects.all()._raw_delete("default"),
        sql,
    ):
        with pytest.raises(IntegrityError, match="append-only"), transaction.atomic():
            act()


@pytest.mark.django_db(transaction=True)
def test_the_guards_go_and_come_back_with_their_migration() -> None:
    def standing() -> set[str]:
        with connection.cursor() as cursor:
            cursor.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
            return {name for (name,) in cursor.fetchall()} & set(GUARDS.names())

    executor = MigrationExecutor(connection)
    executor.migrate([("rounds", "0001_looks_of_line_rounds")])
    down = standing()
    MigrationExecutor(connection).migrate([("rounds", "0002_guard_the_looks")])

    assert down == set()
    assert standing() == set(GUARDS.names())
