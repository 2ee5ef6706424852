"""The daily count from the chart, at the ward's hour, by what was known when."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from tests.fakes.outcomes import OTHER, WARD, FakeOutcomes

from lumenkeep.core.outcomes.daily_count import (
    UNKNOWN_STRATUM,
    CountedDay,
    strata_of_day,
)
from lumenkeep.ward.outcomes.count_days import count_days, hour_on, protocol_for
from lumenkeep.ward.site.people import WardRecord

MAY = date(2025, 5, 1)
LATER = datetime(2025, 12, 1, tzinfo=UTC)
PROTOCOL = protocol_for(MAY).protocol


def on_day(number: int, hour: int = 8) -> datetime:
    return datetime(2025, 5, number, hour, tzinfo=UTC)


@pytest.fixture
def ward() -> FakeOutcomes:
    return FakeOutcomes().noon()


def counted(
    ward: FakeOutcomes, last: int = 5, key: str = "kestrel", **more
) -> tuple[CountedDay, ...]:
    more = {"at": LATER, **more}
    return count_days(
        ward.days, ward.book, [WARD, OTHER], MAY, date(2025, 5, last), **more
    )[key]


def place(ward: FakeOutcomes, child: str, at: datetime, line: str, kind: str) -> int:
    """Chart a line placed, its tip in a great vessel; return the insertion's id."""
    placed = ward.days.entry(child, "line-inserted", at, line, kind=kind)
    ward.days.entry(child, "line-tip", at, line, tip="great-vessel")
    return placed.id


def pairs(days: tuple[CountedDay, ...]) -> list[tuple[int, int] | str]:
    return [(d.count.children, d.count.with_line) if d.count else d.why for d in days]


def test_a_child_counts_while_it_lies_there_and_while_its_line_is_in(ward) -> None:
    ward.days.entry("c", "stay", on_day(1), ward="kestrel")
    place(ward, "c", on_day(2), "l", "picc")
    ward.days.entry("c", "line-removed", on_day(4), "l")
    ward.days.entry("c", "stay", on_day(5, 13), ward=None, to="home")

    assert pairs(counted(ward)) == [(1, 0), (1, 1), (1, 1), (1, 0), (1, 0)]


def test_the_hour_decides_not_the_day(ward) -> None:
    ward.days.entry("c", "stay", on_day(1, 13), ward="kestrel")
    place(ward, "c", on_day(2, 12), "l", "picc")
    ward.days.entry("c", "line-removed", on_day(3, 12), "l")

    assert pairs(counted(ward, 3)) == ["before-chart", (1, 1), (1, 0)]


def test_a_port_counts_from_its_first_day_accessed_or_not(ward) -> None:
    """Surveillance facts N8: in D1 to D6, first accessed D4: six line-days."""
    ward.days.entry("c", "stay", on_day(1), ward="kestrel")
    place(ward, "c", on_day(1), "l", "port")
    ward.days.entry("c", "line-access", on_day(4), "l")

    days = counted(ward, 6)

    assert sum(d.count.with_line for d in days if d.count) == 6


def test_several_lines_are_one_line_day_and_both_kinds_are_temporary(ward) -> None:
    """Surveillance facts R26."""
    for child, kinds in (("a", ("port", "picc")), ("b", ("tunnelled",)), ("c", ())):
        ward.days.entry(child, "stay", on_day(1), ward="kestrel")
        for kind in kinds:
            place(ward, child, on_day(1), child + kind, kind)

    [day] = counted(ward, 1)

    assert day.count is not None
    found = (day.count.children, day.count.with_line)
    assert found == (3, 2)
    assert (day.count.temporary, day.count.permanent) == (1, 1)


def test_birthweight_groups_and_umbilical_lines(ward) -> None:
    """Surveillance facts N5 (R26, R27), with an infant whose birthweight is unknown."""
    told = [
        (740, ("picc",)), (750, ()), (751, ("umbilical-venous", "picc")),
        (1500, ("picc",)), (2501, ("picc", "tunnelled")), (None, ("picc",)),
    ]  # fmt: skip
    for number, (grams, kinds) in enumerate(told):
        child = f"c{number}"
        ward.days.entry(child, "stay", on_day(1), ward="kestrel")
        ward.days.entry(child, "birth", on_day(1), born="2025-05-01")
        if grams is not None:
            ward.days.entry(child, "weight", on_day(1, 9), g=grams)
        ward.days.entry(child, "weight", on_day(2), g=3000)
        for kind in kinds:
            place(ward, child, on_day(1), child + kind, kind)

    [day] = counted(ward, 1)

    assert strata_of_day(day.children, PROTOCOL) == {
        "≤750 g": (2, 1),
        "751–1000 g": (1, 1),
        "1001–1500 g": (1, 1),
        ">2500 g": (1, 1),
        UNKNOWN_STRATUM: (1, 1),
    }


def test_a_line_counts_where_the_child_lies(ward) -> None:
    ward.days.entry("c", "stay", on_day(1), ward="kestrel")
    place(ward, "c", on_day(1), "l", "picc")
    ward.days.entry("c", "stay", on_day(3), ward="heron")

    assert pairs(counted(ward, 4)) == [(1, 1), (1, 1), "nobody", "nobody"]
    assert pairs(counted(ward, 4, "heron"))[2:] == [(1, 1), (1, 1)]


def test_the_tip_decides_and_one_that_nobody_charted_is_open(ward) -> None:
    """R2: the tip decides; once central it stays so. Unknown is neither yes nor no."""
    for child, tips in (("a", ()), ("b", ("elsewhere",)), ("c", ("great-vessel",
                        "elsewhere"))):  # fmt: skip
        ward.days.entry(child, "stay", on_day(1), ward="kestrel")
        ward.days.entry(child, "line-inserted", on_day(1), child + "l", kind="picc")
        for hour, tip in enumerate(tips):
            ward.days.entry(
                child, "line-tip", on_day(1, 9 + hour), child + "l", tip=tip
            )

    [day] = counted(ward, 1)

    lines = {c.child: c.lines[0] for c in day.children}
    assert {k: v.is_central for k, v in lines.items()} == {
        "a": None, "b": False, "c": True
    }  # fmt: skip
    assert day.count is not None
    assert (day.count.with_line, day.count.open) == (1, 1)


def test_an_open_line_beside_a_central_one_leaves_nothing_open(ward) -> None:
    ward.days.entry("c", "stay", on_day(1), ward="kestrel")
    place(ward, "c", on_day(1), "l", "picc")
    ward.days.entry("c", "line-inserted", on_day(1), "m", kind="picc")

    [day] = counted(ward, 1)

    assert day.count is not None
    assert (day.count.with_line, day.count.open) == (1, 0)


def test_a_tip_charted_the_next_day_counts_from_the_placing(ward) -> None:
    ward.days.entry("c", "stay", on_day(1), ward="kestrel")
    ward.days.entry("c", "line-inserted", on_day(1), "l", kind="picc")
    ward.days.entry("c", "line-tip", on_day(2), "l", tip="great-vessel")

    assert pairs(counted(ward, 2)) == [(1, 1), (1, 1)]


def test_days_that_cannot_be_counted_say_why(ward) -> None:
    ward.days.entry("c", "stay", on_day(2), ward="kestrel")
    ward.days.silent.add(date(2025, 5, 3))
    lost = ward.days.entry("c", "stay", on_day(4))
    ward.days.entry("c", "stay", on_day(5), ward=None, to="home")

    days = counted(ward, 6, at=on_day(5, 20))

    assert pairs(days) == [
        "before-chart", (1, 0), "silent", "ward-unknown", "nobody", "not-yet"
    ]  # fmt: skip
    assert days[3].lost == (("c", lost.id),)
    assert [d.is_missing for d in days] == [True, False, True, True, True, False]


def test_without_an_hour_nothing_is_counted() -> None:
    ward = FakeOutcomes()
    ward.days.entry("c", "stay", on_day(1), ward="kestrel")
    ward.book.set_hour("kestrel", date(2025, 5, 3), time(12), "other", "a test", "s-1")

    assert pairs(counted(ward, 3)) == ["no-hour", "no-hour", (1, 0)]


def test_the_hour_that_was_set_last_holds(ward) -> None:
    ward.book.set_hour("kestrel", date(2025, 5, 3), time(6), "other", "a test", "s-1")
    ward.book.set_hour("kestrel", date(2025, 5, 3), time(7), "other", "a test", "s-1")

    held = [hour_on(ward.book.hours(["kestrel"]), "kestrel", d) for d in
            (MAY, date(2025, 5, 3))]  # fmt: skip

    assert [h.hour for h in held if h] == [time(12), time(7)]


def test_a_correction_counts_from_when_it_was_known(ward) -> None:
    ward.days.entry("c", "stay", on_day(1), ward="kestrel")
    wrong = place(ward, "c", on_day(2), "l", "picc")
    ward.days.entry(
        "c", "line-inserted", on_day(4), "l", kind="picc", corrects=wrong,
        written_at=on_day(20),
    )  # fmt: skip

    assert pairs(counted(ward)) == [(1, 0), (1, 0), (1, 0), (1, 1), (1, 1)]
    then = counted(ward, known_at=on_day(19))
    assert pairs(then) == [(1, 0), (1, 1), (1, 1), (1, 1), (1, 1)]


def test_a_withdrawn_insertion_leaves_no_line(ward) -> None:
    ward.days.entry("c", "stay", on_day(1), ward="kestrel")
    wrong = place(ward, "c", on_day(1), "l", "picc")
    ward.days.entry("c", "withdrawn", on_day(1), "l", corrects=wrong)

    assert pairs(counted(ward, 1)) == [(1, 0)]


def test_the_hour_is_the_ward_s_wall_clock_through_the_change_of_clocks() -> None:
    zone = ZoneInfo("Europe/London")
    ward = FakeOutcomes()
    here = WardRecord("kestrel", "Kestrel", zone, "ward", "quillmere")
    ward.book.set_hour("kestrel", date(2025, 1, 1), time(8), "other", "a test", "s-1")
    days = count_days(
        ward.days, ward.book, [here], date(2025, 3, 29), date(2025, 3, 30), LATER
    )["kestrel"]

    assert [d.at and d.at.hour for d in days] == [8, 7]


def test_each_count_names_the_entries_behind_it(ward) -> None:
    stay = ward.days.entry("c", "stay", on_day(1), ward="kestrel")
    line = place(ward, "c", on_day(1), "l", "picc")

    [day] = counted(ward, 1)

    assert day.children[0].entries == (stay.id, line)


def test_the_protocol_year_is_the_period_s_or_the_nearest_with_a_caution() -> None:
    assert protocol_for(date(2024, 6, 1)).caution == ""
    assert protocol_for(date(2030, 6, 1)).caution == (
        "Counted by the rules of 2025; those of 2030 are not held here and are to be "
        "confirmed against the edition in force."
    )


def test_no_ward_asks_for_nothing(ward) -> None:
    assert count_days(ward.days, ward.book, [], MAY, MAY + timedelta(1), LATER) == {}
