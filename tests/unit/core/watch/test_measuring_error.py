"""The error of one measurement from pairs: the arithmetic, and what counts as a pair."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from scipy import stats

from lumenkeep.core.model.entry import Entry
from lumenkeep.core.watch.measuring_error import measuring_error, pairs_of_line

AT = datetime(2026, 11, 3, 14, tzinfo=UTC)
HOUR = timedelta(hours=1)


def entry(number: int, minutes: int, by: str, mm: float | None, arm=None) -> Entry:
    at = AT + timedelta(minutes=minutes)
    body = {"external_length_mm": mm, "arm": arm}
    return Entry(number, "c-1", "l-1", "site-check", at, at, by, "p", None, body)


def test_the_error_is_the_root_of_half_the_mean_square_with_chi_square_limits() -> None:
    """Check: scipy's own chi-square quantiles, another road than the code's gamma."""
    differences = [3.0, -1.0, 2.0, 0.0, -4.0, 1.0]
    found = measuring_error(differences)
    squares = sum(d * d for d in differences) / 2

    assert found is not None
    assert found.sd == pytest.approx((squares / 6) ** 0.5)
    assert found.low == pytest.approx((squares / stats.chi2.ppf(0.975, 6)) ** 0.5)
    assert found.high == pytest.approx((squares / stats.chi2.ppf(0.025, 6)) ** 0.5)
    assert found.pairs == 6


def test_the_limits_of_ten_are_those_of_a_table() -> None:
    """Chi-square with 10 degrees of freedom: 3.247 and 20.483 (tables, from memory)."""
    found = measuring_error([2.0] * 10)

    assert found is not None
    assert found.low == pytest.approx((20 / 20.483) ** 0.5, abs=1e-4)
    assert found.high == pytest.approx((20 / 3.247) ** 0.5, abs=1e-3)


def test_without_a_pair_there_is_no_error() -> None:
    assert measuring_error([]) is None


@pytest.mark.parametrize(
    ("second", "asks_arm", "is_pair"),
    [
        (entry(2, 60, "s-2", 22, "bent"), True, True),
        (entry(2, 61, "s-2", 22, "bent"), True, False),
        (entry(2, 5, "s-1", 22, "bent"), True, False),
        (entry(2, 5, "s-2", 22, "at the side"), False, False),
        (entry(2, 5, "s-2", None, "bent"), False, False),
        (entry(2, 5, "s-2", 22, None), False, False),
    ],
)
def test_a_pair_is_soon_by_another_person_with_the_arm_alike(
    second, asks_arm, is_pair
) -> None:
    first = entry(1, 0, "s-1", 20, "bent")
    found = list(pairs_of_line([first, second], HOUR, asks_arm=asks_arm))

    assert bool(found) is is_pair
    assert [one.difference_mm for one in found] == [2.0] * is_pair


def test_an_arm_nobody_charted_is_alike_only_where_it_does_not_matter() -> None:
    rows = [entry(1, 0, "s-1", 20), entry(2, 5, "s-2", 21)]

    assert list(pairs_of_line(rows, HOUR, asks_arm=False))
    assert not list(pairs_of_line(rows, HOUR, asks_arm=True))


def test_each_length_is_in_one_pair_at_most() -> None:
    rows = [entry(n, 5 * n, f"s-{n % 2}", 20) for n in range(5)]

    assert len(list(pairs_of_line(rows, HOUR, asks_arm=False))) == 2
