"""A typed mass that cannot be, or hardly, is told before it decides for a child."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from lumenkeep.core.model import Weight
from lumenkeep.core.watch.mass_typed import judge_typed_mass

AT = datetime(2026, 11, 10, 8, tzinfo=UTC)
DAY = timedelta(days=1)
LAST = Weight(AT - DAY, 3200)
BOUNDS, WEEK = (1000.0, 8000.0), (80.0, 125.0)


def typed(grams: float, last: Weight | None = LAST):
    return judge_typed_mass(grams, AT, last, BOUNDS, WEEK, UTC)


@pytest.mark.parametrize("grams", [2560, 3200, 4000])
def test_a_mass_near_the_last_is_fine(grams) -> None:
    assert typed(grams).state == "fine"


@pytest.mark.parametrize(
    ("grams", "state", "meant"),
    [
        (3.2, "impossible", 3200),
        (32_000, "impossible", 3200),
        (320, "impossible", 3200),
        (3_300_000, "impossible", 3300),
        (33_000, "impossible", 3300),
        (2_559, "unlikely", None),
        (4_001, "unlikely", None),
        (7_000, "unlikely", None),
    ],
)
def test_a_mass_far_from_it_is_asked_back_or_refused(grams, state, meant) -> None:
    said = typed(grams)

    assert (said.state, said.suggests_g) == (state, meant)


def test_the_words_name_the_last_weighing_and_what_was_meant() -> None:
    assert typed(7000).says == "3.2 kg on 9 Nov. 7 kg?"
    assert typed(320).says == (
        "320 g cannot be the mass of a child of this age: 1 kg to 8 kg can. Look at the "
        "scales again. Do you mean 3.2 kg?"
    )


def test_longer_ago_more_is_believed() -> None:
    month = Weight(AT - 28 * DAY, 3200)

    assert typed(5000).state == "unlikely"
    assert typed(5000, month).state == "fine"


def test_without_a_weighing_only_the_bounds_count() -> None:
    assert typed(7999, None).state == "fine"
    assert typed(8001, None).state == "impossible"
