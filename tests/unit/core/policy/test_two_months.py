"""Two months are at least 59 days: a bar of 56 days lies below them for every child."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from itertools import permutations
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.policy.own_set import OwnSet

from lumenkeep.core.model.times import CalendarSpan, days_of_months
from lumenkeep.core.policy.solver import prove_parts
from lumenkeep.core.policy.solver.child import neighbours

if TYPE_CHECKING:
    from pathlib import Path

    from lumenkeep.core.policy.solver import Breach

DAY = date(2026, 3, 15)
CHG_AGE = (
    'means = "Age from which chlorhexidine may be used, counted in hours from birth"\n'
    'unit = "h"\nvalues = [{ from = 2024-01-01, value = 168, '
)
PAD_AGE = (
    'means = "Age from which a dressing with chlorhexidine may stay on the skin"\n'
    'unit = "calendar-months"\nvalues = [{ from = 2024-01-01, value = 2, '
)
REQUIRED = 'value = 168, unit = "h"'
APIA = ZoneInfo("Pacific/Apia")


def breaches(own: OwnSet) -> list[Breach]:
    return [b for part in prove_parts(own.read(), DAY) for b in part.breaches]


def test_a_bar_of_56_days_lies_below_two_months(tmp_path: Path) -> None:
    own = OwnSet(tmp_path)
    own.swap("quillmere/antisepsis.toml", CHG_AGE, CHG_AGE.replace("168", "1344"))
    own.swap(
        "quillmere/requirements.toml", REQUIRED, REQUIRED.replace("168", "1344"), 2
    )

    assert breaches(own) == []


def test_where_56_days_are_too_few_a_child_of_that_age_is_shown(
    tmp_path: Path,
) -> None:
    own = OwnSet(tmp_path)
    days = PAD_AGE.replace("months", "days").replace("value = 2", "value = 56")
    own.swap("quillmere/antisepsis.toml", PAD_AGE, days)

    told = [
        b for b in breaches(own) if "require-no-pad-under-2-months" in dict(b.rules)
    ]

    assert told
    for breach in told:
        assert breach.shown_by is not None
        born = datetime.fromisoformat(breach.shown_by.case["child"]["born"])
        age = datetime.fromisoformat(breach.shown_by.at) - born
        assert timedelta(days=56) <= age < timedelta(days=62)


@pytest.mark.parametrize("months", [0, 1, 2, 6, 12, 216])
def test_no_start_makes_months_shorter_or_longer_than_said(months: int) -> None:
    fewest, most = days_of_months(months)
    span = CalendarSpan(months, 0)
    low, high = span.bounds()

    for day in range(4 * 366):
        start = datetime(2010, 1, 1, 10, tzinfo=UTC) + timedelta(days=day)
        days = (span.after(start, UTC) - start).days
        assert fewest <= days <= most
        # This zone skipped a whole day, in summer time.
        assert low < span.after(start, APIA) - start < high


def test_sixty_one_days_may_come_before_and_after_two_months() -> None:
    two_months, days = CalendarSpan(2, 0), CalendarSpan(0, 61)

    assert not days.is_never_later(two_months)
    assert not two_months.is_never_later(days)
    assert CalendarSpan(0, 59).is_never_later(two_months)
    assert two_months.is_never_later(CalendarSpan(0, 62))


SPANS = st.builds(CalendarSpan, st.integers(0, 30), st.integers(0, 400))


@given(st.lists(SPANS, min_size=2, max_size=12, unique=True))
def test_the_pairs_in_order_that_are_left_say_all_the_others(
    spans: list[CalendarSpan],
) -> None:
    said = set(neighbours(spans))
    while (
        more := {(a, d) for a, b in said for c, d in said if b == c and a != d} - said
    ):
        said |= more

    assert said == {(a, b) for a, b in permutations(spans, 2) if a.is_never_later(b)}
