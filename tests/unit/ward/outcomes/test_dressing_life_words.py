"""Dressing life in words, letter by letter."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from lumenkeep.core.model.facts import NEVER_CHARTED
from lumenkeep.core.watch.dressing_life import GroupLife, compare_life, life_of
from lumenkeep.core.watch.spells import DressingSpell, End
from lumenkeep.ward.outcomes.dressing_life import shipped_life_plan
from lumenkeep.ward.outcomes.dressing_life_words import (
    basis_words,
    comparison_words,
    curve_words,
    doubts,
    group_words,
    half_words,
    hundred_words,
    life_sentence,
)

START = datetime(2026, 3, 2, 10, tzinfo=UTC)
PLAN = shipped_life_plan()


def spell(
    days: float, end: End, child: int, *, charted_planned: bool = False
) -> DressingSpell:
    return DressingSpell(
        f"c-{child}", f"l-{child}", "transparent", "upper-arm", "picc", "heron",
        NEVER_CHARTED, START, START + timedelta(days=days), end,
        charted_planned=charted_planned,
    )  # fmt: skip


def life(*ends: tuple[float, End], key: str | None = None, apart: int = 0) -> GroupLife:
    spells = [spell(days, end, apart + n) for n, (days, end) in enumerate(ends)]
    return life_of(key, spells, 7, PLAN)


def test_the_answer_is_one_sentence() -> None:
    found = life(*[(6, End.PLANNED)] * 8, (2, End.FAILED), (3, End.FAILED))

    assert life_sentence(found, "dressings on Heron") == (
        "Of 100 dressings on Heron, about 20 fail before day 7 (3 to 47)."
    )
    assert basis_words(found) == (
        "From 10 dressings on 10 lines of 10 children; the numbers in brackets are "
        "95\N{NO-BREAK SPACE}% limits."
    )
    assert hundred_words(found.failed) == ("20", "3 to 47")
    assert half_words(found) == "6.0 d"


def test_none_seen_to_fail_is_no_promise() -> None:
    found = life(*[(6, End.PLANNED)] * 10)

    assert life_sentence(found, "dressings (gauze) on Wren") == (
        "Of 100 dressings (gauze) on Wren, none fails before day 7 as far as seen; it "
        "may be up to 31."
    )


def test_too_little_watched_is_said() -> None:
    found = life((2, End.STILL_ON), (1, End.FAILED))

    assert life_sentence(found, "dressings here") == (
        "Nobody can say yet how many of 100 dressings here fail before day 7: too few "
        "were watched that long."
    )
    assert hundred_words(found.failed) == ("cannot be judged", "")


def test_uncharted_reasons_are_said_with_the_worst_they_may_mean() -> None:
    found = life(
        *[(6, End.PLANNED)] * 7, (2, End.FAILED), (3, End.UNKNOWN), (3, End.EARLY)
    )

    assert doubts(found, 0, 0)[0] == (
        "1 dressing came off for a reason that nobody charted, and 1 dressing came off "
        "early for another reason. That is not counted as failing; if all of them had "
        "failed, it would be 30 of 100 before day 7 (7 to 58)."
    )
    none_early = life(*[(6, End.PLANNED)] * 8, (3, End.UNKNOWN), (3, End.UNKNOWN))
    assert doubts(none_early, 0, 0)[0].startswith(
        "2 dressings came off for a reason that nobody charted. That is not counted"
    )


def test_what_stands_on_no_account_is_said() -> None:
    told = doubts(life((6, End.PLANNED)), 2, 3)

    assert told[0] == (
        "2 dressings were put on while no ward was charted for the child: on no ward’s "
        "account, and not counted here."
    )
    assert told[1] == (
        "3 dressings came off of which nobody had charted when it was put on, in all "
        "wards together: how long it held is not known."
    )


def test_failures_charted_as_planned_are_said() -> None:
    found = life_of(None, [spell(2, End.FAILED, 1, charted_planned=True)], 7, PLAN)

    assert doubts(found, 0, 0)[0] == (
        "1 dressing had been found damp, loose or soiled and was later charted as "
        "changed when due: counted as failed when found."
    )


def test_the_undecided_are_said() -> None:
    found = life(*[(6, End.PLANNED)] * 38, (2, End.FAILED), (6.5, End.STILL_ON))

    assert doubts(found, 0, 0)[0] == (
        "No dressing was watched up to day 7. Watching ends at day 6.5 with 2 % still "
        "on; the upper limit counts them as failed."
    )


@pytest.mark.parametrize(
    ("split", "key", "said"),
    [
        ("kind", "gauze", "Gauze"),
        ("site", "femoral", "Groin (femoral)"),
        ("line", "picc", "PICC"),
        ("ward", "heron", "Heron"),
        ("age", "under 28 days", "Under 28 days"),
        ("first", "at-insertion", "Put on at insertion"),
        ("all", "every", "All dressings"),
        ("site", None, "Not known"),
    ],
)
def test_groups_have_names(split, key, said) -> None:
    assert group_words(split, key, {"heron": "Heron"}) == said


@pytest.mark.parametrize(
    ("split", "key", "said"),
    [
        ("kind", "transparent-chg-gel", "Film, gel pad"),
        ("kind", "gauze", "Gauze"),
        ("site", "internal-jugular", "Neck"),
        ("line", "tunnelled", "Tunnelled"),
        ("age", "1 to 5 years", "1 to 5 years"),
    ],
)
def test_curves_have_short_names(split, key, said) -> None:
    assert curve_words(split, key, {}) == said


def compared(*groups: GroupLife) -> str:
    found = compare_life(groups, PLAN)
    assert found is not None
    return comparison_words(found, PLAN.test)


def test_a_difference_is_called_one_when_it_is() -> None:
    good = life(*[(6, End.PLANNED)] * 30, *[(5, End.FAILED)] * 2, key="gauze")
    bad = life(*[(2, End.FAILED)] * 20, key="transparent", apart=100)

    assert compared(good, bad) == (
        "they fail at different paces, more than chance alone would often show "
        "(log-rank test chosen beforehand, p\N{NO-BREAK SPACE}below 0.001)."
    )


def test_a_difference_that_rests_on_few_children_is_not_called_one() -> None:
    good = life(*[(6, End.PLANNED)] * 30, *[(5, End.FAILED)] * 2, key="gauze")
    spells = [spell(2.0 + n / 10, End.FAILED, 500) for n in range(9)]
    spells += [spell(6, End.PLANNED, 600 + n) for n in range(20)]
    bad = life_of("transparent", spells, 7, PLAN)
    found = compare_life([good, bad], PLAN)

    assert found.test.p_value < PLAN.test.alarm < found.model.p_value
    assert "may be chance, since they rest on few children" in compared(good, bad)


def test_no_difference_may_be_chance() -> None:
    one = life(*[(6, End.PLANNED)] * 9, (3, End.FAILED), key="gauze")
    two = life(*[(6, End.PLANNED)] * 9, (4, End.FAILED), key="transparent", apart=50)

    assert compared(one, two).startswith("the differences may be chance (log-rank test")
