"""Hours, counts by hand and baselines: kept as entered, whoever asks."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

import pytest
from django.db import IntegrityError, connection, transaction
from tests.fakes.clock import FixedClock
from tests.web.hospital import add_line, make_wards

from lumenkeep.errors import StoreError
from lumenkeep.ward.chart.store.repository import ChartRepository
from lumenkeep.ward.outcomes.count_days import count_days
from lumenkeep.ward.outcomes.models import BaselineRow, HandCount, WardHour
from lumenkeep.ward.outcomes.records import NewBaseline, NewCount, ReferenceStratum
from lumenkeep.ward.outcomes.repository import OutcomeRepository
from lumenkeep.ward.outcomes.sources import DayRepository
from lumenkeep.ward.site.guarding import guards_of

pytestmark = pytest.mark.django_db
DAY = date(2026, 11, 24)
GUARDS = guards_of("outcomes")


@pytest.fixture
def book() -> OutcomeRepository:
    make_wards()
    kept = OutcomeRepository(FixedClock())
    kept.set_hour("kestrel", date(2026, 1, 1), time(6), "other", "ward rule", "s-1")
    kept.add_count(NewCount("kestrel", DAY, 12, 7, "s-1"), "f-1")
    kept.add_baseline(
        NewBaseline(
            "kestrel", "infections", DAY, DAY, "a printed table", "s-1",
            strata=(ReferenceStratum("all", 3.0, 1000.0),),
        ),
        "f-2",
    )  # fmt: skip
    return kept


def _refused(action) -> None:
    with pytest.raises(IntegrityError, match="append-only"), transaction.atomic():
        action()


@pytest.mark.parametrize("table", GUARDS.tables)
@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE {} SET id = id",
        "DELETE FROM {}",
        "INSERT OR REPLACE INTO {0} SELECT * FROM {0} LIMIT 1",
    ],
)
def test_no_raw_sql_passes(book, table: str, statement: str) -> None:
    def run() -> None:
        with connection.cursor() as cursor:
            cursor.execute(statement.format(table))

    _refused(run)


@pytest.mark.parametrize("table", [WardHour, HandCount, BaselineRow])
def test_no_bulk_update_and_no_delete_passes(book, table) -> None:
    _refused(lambda: table.objects.update(by="s-other"))
    _refused(lambda: table.objects.all()._raw_delete("default"))


def test_every_guard_stands_after_all_migrations() -> None:
    with connection.cursor() as cursor:
        cursor.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
        standing = {name for (name,) in cursor.fetchall()}

    assert set(GUARDS.names()) <= standing


def test_a_form_sent_twice_is_written_once(book) -> None:
    again = book.add_count(NewCount("kestrel", DAY, 99, 9, "s-1"), "f-1")

    assert (again.children, HandCount.objects.count()) == (12, 1)


def test_a_day_is_counted_once_and_corrected_by_name(book) -> None:
    with pytest.raises(StoreError) as refused:
        book.add_count(NewCount("kestrel", DAY, 13, 7, "s-2"), "f-3")
    assert refused.value.fault.code == "outcomes-entered-already"

    [first] = book.counts(["kestrel"], DAY, DAY)
    book.add_count(NewCount("kestrel", DAY, 13, 7, "s-2", corrects=first.id), "f-4")

    found = book.counts(["kestrel"], DAY, DAY)
    assert [(c.children, c.corrects) for c in found] == [(12, None), (13, first.id)]
    with pytest.raises(StoreError):
        book.add_count(NewCount("kestrel", DAY, 14, 7, "s-3", corrects=first.id), "f-5")


def test_more_lines_than_children_are_refused_by_the_table(book) -> None:
    count = NewCount("kestrel", DAY - timedelta(days=1), 3, 4, "s-1")
    with pytest.raises(StoreError):
        book.add_count(count, "f-6")


def test_a_baseline_comes_back_as_it_was_entered(book) -> None:
    [found] = book.baselines("kestrel")

    assert found.strata == (ReferenceStratum("all", 3.0, 1000.0),)
    assert (found.predicted, found.source) == (None, "a printed table")


def test_the_days_of_all_wards_take_a_bounded_number_of_queries(
    book, django_assert_num_queries
) -> None:
    clock = FixedClock()
    chart = ChartRepository(clock)
    for number in (1, 2, 3):
        add_line(chart, clock, number, ward="kestrel" if number < 3 else "heron")
    wards = chart.wards()

    with django_assert_num_queries(3):
        found = count_days(
            DayRepository(), book, wards, date(2026, 11, 20), DAY, datetime.now(UTC)
        )

    counted = {d.on: d for d in found["kestrel"]}
    # Charted on the 21st alone (the dressing of four days ago): the rest is silent.
    day = counted[date(2026, 11, 21)]
    assert day.count is not None
    # Nobody charted where the tips lie.
    assert (day.count.children, day.count.with_line, day.count.open) == (2, 0, 2)
    assert counted[DAY].why == "silent"
    assert {d.why for d in found["heron"]} == {"no-hour"}


def test_an_entry_written_later_does_not_make_a_day_charted(book) -> None:
    clock = FixedClock()
    add_line(ChartRepository(clock), clock, 1)
    zone = ChartRepository(clock).ward("kestrel").zone
    span = (datetime(2026, 11, 20, tzinfo=UTC), datetime(2026, 11, 24, tzinfo=UTC))

    before = clock.at - timedelta(seconds=1)
    assert DayRepository().charted(["kestrel"], *span, zone, before) == {}
    assert DayRepository().charted(["kestrel"], *span, zone, None) == {
        date(2026, 11, 21): frozenset({"c-1"})
    }
