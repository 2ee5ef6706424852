"""Line rounds: what is kept, how sure that is, who agrees, and whom to visit."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from lumenkeep.core.outcomes.rounds.keeping import (
    bundle_share,
    keeping_by_observer,
    not_kept_apart,
)
from lumenkeep.core.outcomes.rounds.look import (
    DOES_NOT_APPLY,
    KEPT,
    NOT_KEPT,
    NOT_SEEN,
    OPEN,
    LineLook,
)
from lumenkeep.core.outcomes.rounds.pairs import agreement_of_pairs, pairs_of
from lumenkeep.core.outcomes.rounds.sampling import looks_needed, visits_of_day

ITEMS = ("need", "whole", "hub")
WATCHED = ("hub",)
NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)
HOUR = timedelta(hours=1)


def look(
    *answers: str,
    number: int = 1,
    line: str = "a",
    by: str = "one",
    after: timedelta = timedelta(0),
    from_unit: bool = True,
) -> LineLook:
    return LineLook(
        number,
        line,
        "heron",
        NOON + after,
        by,
        from_unit,
        dict(zip(ITEMS, answers, strict=True)),
    )


@pytest.mark.parametrize(
    ("answers", "bundle"),
    [
        ((KEPT, KEPT, KEPT), KEPT),
        ((KEPT, KEPT, DOES_NOT_APPLY), KEPT),
        ((KEPT, KEPT, NOT_SEEN), OPEN),
        ((KEPT, NOT_KEPT, NOT_SEEN), NOT_KEPT),
        ((NOT_SEEN, NOT_SEEN, NOT_SEEN), OPEN),
        ((DOES_NOT_APPLY, DOES_NOT_APPLY, DOES_NOT_APPLY), None),
    ],
)
def test_a_bundle_is_kept_only_where_all_of_it_was_seen_kept(
    answers: tuple[str, ...], bundle: str | None
) -> None:
    assert look(*answers).bundle(ITEMS) == bundle


def test_what_was_not_seen_counts_neither_as_kept_nor_as_not() -> None:
    looks = [
        look(KEPT, KEPT, NOT_SEEN),
        look(KEPT, NOT_KEPT, NOT_SEEN, line="b"),
        look(KEPT, KEPT, KEPT, line="c"),
    ]

    (seen,) = keeping_by_observer(looks, ITEMS, WATCHED)

    need, whole, hub = seen.items
    assert (need.kept, need.seen, need.share) == (3, 3, 1.0)
    assert (whole.kept, whole.not_kept) == (2, 1)
    assert (hub.kept, hub.not_seen, hub.share) == (1, 2, 1.0)
    assert (seen.looks, seen.lines) == (3, 3)
    assert (seen.standing.kept, seen.standing.not_kept, seen.standing.open) == (2, 1, 0)
    assert (seen.whole.kept, seen.whole.not_kept, seen.whole.open) == (1, 1, 1)
    assert seen.whole.span == (1 / 3, 2 / 3)


def test_the_limits_of_a_bundle_span_what_was_not_seen() -> None:
    looks = [look(KEPT, KEPT, KEPT), *[look(KEPT, KEPT, NOT_SEEN)] * 9]

    found = bundle_share(looks, ITEMS)

    assert found.limits is not None
    # Wilson's limits of 1 of 10 and of 10 of 10.
    assert found.limits.low == pytest.approx(0.017876, abs=5e-6)
    assert found.limits.high == pytest.approx(1.0)


def test_an_item_never_seen_has_no_share() -> None:
    (seen,) = keeping_by_observer([look(KEPT, NOT_SEEN, NOT_SEEN)], ITEMS)

    assert seen.items[1].share is None
    assert seen.items[1].limits is None


def test_people_of_the_unit_and_from_outside_are_never_in_one_figure() -> None:
    looks = [
        look(KEPT, KEPT, KEPT),
        look(NOT_KEPT, NOT_KEPT, KEPT, by="two", from_unit=False),
    ]

    own, outside = keeping_by_observer(looks, ITEMS)

    assert (own.from_unit, own.items[0].kept, own.items[0].seen) == (True, 1, 1)
    assert (outside.from_unit, outside.items[0].kept) == (False, 0)


def test_there_is_no_comparison_with_one_kind_of_observer() -> None:
    assert not_kept_apart(keeping_by_observer([look(KEPT, KEPT, KEPT)], ITEMS)) is None
    both_unseen = [
        look(KEPT, KEPT, KEPT),
        look(NOT_SEEN, NOT_SEEN, NOT_SEEN, from_unit=False),
    ]
    assert not_kept_apart(keeping_by_observer(both_unseen, ITEMS)) is None


def test_two_people_within_the_time_are_a_pair_and_later_ones_are_not() -> None:
    first = look(KEPT, KEPT, KEPT, number=1)
    at_the_limit = look(KEPT, KEPT, KEPT, number=2, by="two", after=HOUR)
    too_late = look(
        KEPT, KEPT, KEPT, number=3, by="two", after=HOUR + timedelta(seconds=1)
    )

    assert list(pairs_of([first, at_the_limit], HOUR)) == [(first, at_the_limit)]
    assert list(pairs_of([first, too_late], HOUR)) == []


def test_one_person_alone_is_no_pair_and_no_look_is_used_twice() -> None:
    looks = [
        look(KEPT, KEPT, KEPT, number=1),
        look(KEPT, KEPT, KEPT, number=2, after=timedelta(minutes=1)),
        look(KEPT, KEPT, KEPT, number=3, by="two", after=timedelta(minutes=2)),
    ]

    assert [(a.id, b.id) for a, b in pairs_of(looks, HOUR)] == [(1, 3)]


def test_agreement_counts_only_what_both_saw() -> None:
    looks = [
        look(KEPT, NOT_KEPT, NOT_SEEN, number=1),
        look(KEPT, KEPT, KEPT, number=2, by="two"),
        look(NOT_KEPT, NOT_KEPT, KEPT, number=3, line="b"),
        look(NOT_KEPT, NOT_KEPT, KEPT, number=4, line="b", by="two"),
    ]

    found = agreement_of_pairs(looks, ITEMS, HOUR)

    need, whole, hub = found.items
    assert found.pairs == 2
    assert need.agreement is not None
    assert need.agreement.kappa == 1.0
    assert whole.agreement is not None
    assert whole.agreement.observed == 0.5
    assert hub.pairs == 1
    assert hub.agreement is not None
    assert hub.agreement.kappa is None
    assert found.together.pairs == 5


def test_without_a_pair_nothing_is_said_of_agreement() -> None:
    found = agreement_of_pairs([look(KEPT, KEPT, KEPT)], ITEMS, HOUR)

    assert found.pairs == 0
    assert found.together.agreement is None


def test_a_small_ward_needs_fewer_looks_than_a_large_one() -> None:
    # 0.8 x 0.2 x (1.96 / 0.1)^2 = 61.46, so 62; of 300 line-days 62 / (1 + 61 / 300).
    assert looks_needed(0.8, 0.1) == 62
    assert looks_needed(0.8, 0.1, 300) == 52
    assert looks_needed(0.8, 0.1, 10) == 9
    assert looks_needed(0.8, 0.1, 0) == 0


def test_what_is_left_is_spread_over_the_days_left() -> None:
    lines = [f"line-{n}" for n in range(20)]

    plan = visits_of_day(
        lines, date(2026, 3, 2), needed=52, done=10, days_left=10, visited=lines[:3]
    )

    assert len(plan.today) == 5
    assert not set(plan.today) & set(lines[:3])
    assert visits_of_day(
        reversed(lines), date(2026, 3, 2), needed=52, done=10, days_left=10,
        visited=lines[:3],
    ) == plan  # fmt: skip


def test_a_month_that_is_done_asks_for_no_more() -> None:
    plan = visits_of_day(["a"], date(2026, 3, 2), needed=5, done=7, days_left=3)

    assert plan.today == ()


def test_lines_seen_already_come_again_only_when_there_are_no_others() -> None:
    plan = visits_of_day(
        ["a", "b"], date(2026, 3, 2), needed=2, done=0, days_left=1, visited=["a"]
    )

    assert plan.today == ("b", "a")
