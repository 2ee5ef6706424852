"""Laws of the daily count: what is added adds, what moves moves, nothing is lost."""

from __future__ import annotations

import itertools
from datetime import UTC, date, datetime, time, timedelta
from typing import TYPE_CHECKING

from hypothesis import given, settings
from hypothesis import strategies as st
from tests.fakes.outcomes import OTHER, WARD, FakeDays, FakeOutcomes

from lumenkeep.core.outcomes.counting import compare_counts
from lumenkeep.ward.outcomes.count_days import count_days, protocol_for
from lumenkeep.ward.outcomes.figures import (
    Period,
    days_in_use,
    months_of,
    periods_about,
    row_of,
    weeks_of,
)

if TYPE_CHECKING:
    from lumenkeep.core.outcomes.daily_count import CountedDay

START = datetime(2025, 3, 1, tzinfo=UTC)
FIRST, LAST = date(2025, 3, 5), date(2025, 3, 24)
NOW = datetime(2027, 12, 1, tzinfo=UTC)
FEWER = settings(max_examples=40)
PROTOCOL = protocol_for(LAST).protocol

hours = st.integers(0, 26 * 24)
stays = st.lists(
    st.tuples(hours, st.integers(1, 900), hours, st.integers(1, 900), st.booleans()),
    min_size=1,
    max_size=6,
)


def charted(
    told: list[tuple[int, int, int, int, bool]], shift: int = 0
) -> FakeOutcomes:
    """Children by hour of coming, hours there, hour of the line, hours in, and ward."""
    made = FakeOutcomes(days=FakeDays()).noon()
    for number, (came, there, line, in_for, on_other) in enumerate(told):
        child = f"c{number}"
        ward = OTHER.key if on_other else WARD.key
        at = START + timedelta(hours=came, days=shift)
        put = START + timedelta(hours=line, days=shift)
        made.days.entry(child, "stay", at, ward=ward)
        made.days.entry(child, "stay", at + timedelta(hours=there), ward=None)
        made.days.entry(child, "line-inserted", put, child + "l", kind="picc")
        out = put + timedelta(hours=in_for)
        made.days.entry(child, "line-removed", out, child + "l")
    return made


def counted(
    made: FakeOutcomes, first: date = FIRST, last: date = LAST
) -> dict[str, tuple[CountedDay, ...]]:
    return dict(count_days(made.days, made.book, [WARD, OTHER], first, last, NOW))


def numbers(days: tuple[CountedDay, ...]) -> list[tuple[int, int] | None]:
    return [(d.count.children, d.count.with_line) if d.count else None for d in days]


@FEWER
@given(stays, st.integers(1, 19))
def test_a_period_is_the_sum_of_its_parts(told, cut: int) -> None:
    made = charted(told)
    whole = counted(made)["kestrel"]
    middle = FIRST + timedelta(days=cut)
    before = counted(made, last=middle - timedelta(days=1))["kestrel"]
    after = counted(made, first=middle)["kestrel"]

    assert numbers(before) + numbers(after) == numbers(whole)


@FEWER
@given(stays, st.integers(-300, 300))
def test_shifting_every_day_shifts_the_count(told, shift: int) -> None:
    moved = timedelta(days=shift)
    plain = counted(charted(told))["kestrel"]
    later = counted(charted(told, shift), FIRST + moved, LAST + moved)["kestrel"]

    assert numbers(plain) == numbers(later)


@FEWER
@given(stays)
def test_moving_every_stay_to_the_other_ward_moves_its_count(told) -> None:
    swapped = [(*child[:4], not child[4]) for child in told]
    one, other = counted(charted(told)), counted(charted(swapped))

    assert numbers(one["kestrel"]) == numbers(other["heron"])
    assert numbers(one["heron"]) == numbers(other["kestrel"])


@FEWER
@given(stays)
def test_one_more_child_never_lowers_a_count(told) -> None:
    fewer = counted(charted(told[:-1] or told))["kestrel"]
    more = counted(charted(told))["kestrel"]

    for a, b in zip(fewer, more, strict=True):
        if a.count is not None:
            assert b.count is not None
            assert a.count.children <= b.count.children
            assert a.count.with_line <= b.count.with_line


@FEWER
@given(stays)
def test_a_count_holds_together_and_names_its_entries(told) -> None:
    made = charted(told)
    ids = {entry.id for entry in made.days.told}
    for day in counted(made)["kestrel"]:
        if day.count is None:
            assert day.why
            continue
        assert day.count.with_line <= day.count.children == len(day.children)
        assert day.count.temporary + day.count.permanent == day.count.with_line
        assert all(entry in ids for c in day.children for entry in c.entries)


@FEWER
@given(stays)
def test_missing_days_and_counted_ones_are_all_the_days(told) -> None:
    days = counted(charted(told))["kestrel"]
    found = row_of(Period("", FIRST, LAST), days_in_use(days, {}), ())

    assert len(found.missing) + sum(d.count is not None for d in days) == len(days)
    assert {d.on for d in found.missing} == {d.on for d in days if d.is_missing}


@given(st.lists(st.integers(1, 900), min_size=1, max_size=9))
def test_hand_and_chart_alike_differ_by_nothing(months: list[int]) -> None:
    found = compare_counts([(float(n), float(n)) for n in months], PROTOCOL)

    assert set(found.percent) == {0.0}
    assert found.may_replace == (len(months) >= PROTOCOL.count("counts-months"))


days = st.dates(date(2000, 1, 1), date(2099, 1, 1))


@FEWER
@given(days, st.integers(0, 1200), st.data())
def test_periods_cover_each_day_once(first: date, length: int, data) -> None:
    last = first + timedelta(days=length)
    cuts = [months_of(first, last), weeks_of(first, last)]
    if length:
        change = first + timedelta(days=data.draw(st.integers(1, length)))
        about, number, _ = periods_about(first, last, change)
        assert about[number - 1].first == change
        cuts.append(about)
    for periods in cuts:
        assert periods[0].first == first
        assert periods[-1].last == last
        assert sum(period.length for period in periods) == length + 1
        for a, b in itertools.pairwise(periods):
            assert b.first - a.last == timedelta(days=1)


def test_the_hour_used_in_these_laws_is_noon() -> None:
    assert FakeOutcomes().noon().book.held_hours[0].hour == time(12)
