"""The small parts of the law "kept or named": settings, orders, rows of facts."""

from __future__ import annotations

from itertools import combinations, permutations, product

import pytest

from lumenkeep.core.asepsis.kept.facts import (
    all_imply,
    as_often,
    asks_for_all,
    in_order,
)
from lumenkeep.core.asepsis.kept.order import moved
from lumenkeep.core.asepsis.kept.settings import left_over, together
from lumenkeep.core.asepsis.when import Condition, When

SITES, UNITS = ("chest", "femoral", "arm"), ("ward", "newborn")


def is_(fact: str, *words: str) -> Condition:
    return Condition(fact, frozenset(words), wanted=True)


def is_not(fact: str, *words: str) -> Condition:
    return Condition(fact, frozenset(words), wanted=False)


WHENS: list[When] = [
    (),
    ((is_("site", "femoral"),),),
    ((is_not("site", "femoral"),),),
    ((is_("site", "chest", "femoral"),),),
    ((is_("unit", "newborn"),), (is_("site", "femoral"),)),
    ((is_("unit", "newborn"), is_not("site", "chest")),),
]


def holds(when: When, words: dict[str, str]) -> bool:
    return not when or any(
        all((words[c.fact] in c.words) == c.wanted for c in row) for row in when
    )


def everywhere(asked: When, done: list[When]) -> bool:
    """Return the same as `left_over`, by every setting there is."""
    return all(
        any(holds(when, words) for when in done)
        for site, unit in product((*SITES, "another"), (*UNITS, "another"))
        if holds(asked, words := {"site": site, "unit": unit})
    )


@pytest.mark.parametrize("asked", WHENS)
def test_what_is_left_over_is_what_trying_every_setting_finds(asked: When) -> None:
    for count in range(3):
        for done in combinations(WHENS, count):
            gap = left_over(asked, done, {})

            assert (gap is None) is everywhere(asked, list(done))


def test_a_known_fact_leaves_no_other_setting() -> None:
    asked = ((is_("procedure", "re-cover"),),)

    assert left_over(asked, [], {"procedure": "set-change"}) is None
    assert left_over(asked, [], {"procedure": "re-cover"}) == {"procedure": "re-cover"}


def test_two_things_meet_unless_their_conditions_exclude_each_other() -> None:
    groin, elsewhere = ((is_("site", "femoral"),),), ((is_not("site", "femoral"),),)

    assert not together(groin, elsewhere, {})
    assert together(groin, (), {})
    assert together(groin, ((is_("unit", "ward"),),), {})


def places(order: str, published: str = "abcdef") -> list[tuple[str, int]]:
    return [(one, order.index(one)) for one in published]


def test_the_published_order_moves_nothing() -> None:
    assert moved(places("abcdef")) == []
    assert moved([]) == []


@pytest.mark.parametrize(
    ("order", "said"),
    [
        ("abfcde", ["f now before c"]),
        ("bcdeaf", ["a now after e"]),
        ("fabcde", ["f now before a"]),
        ("dabcfe", ["d now before a", "f now before e"]),
    ],
)
def test_a_moved_step_is_named_once_and_by_where_it_stands(
    order: str, said: list[str]
) -> None:
    assert [says for _, says in moved(places(order))] == said


def test_no_fewer_steps_explain_any_order_of_six() -> None:
    for order in permutations("abcdef"):
        now = places("".join(order))
        least = min(
            6 - count
            for count in range(7)
            for stay in combinations(now, count)
            if [at for _, at in stay] == sorted(at for _, at in stay)
        )

        assert len(moved(now)) == least


def test_steps_that_stand_for_one_another_count_as_one() -> None:
    four = [("x", 3), ("y", 4), ("d", 0), ("d", 1), ("d", 2)]

    assert [says for _, says in moved(four)] == ["d now before x"] * 3


ROW = (("site", frozenset({"wet", "dry"})),)
NARROW = (("site", frozenset({"dry"})), ("field", frozenset({"open"})))


def test_a_row_that_says_more_holds_only_where_the_other_does() -> None:
    assert all_imply((NARROW,), (ROW,))
    assert not all_imply((ROW,), (NARROW,))
    assert not all_imply((ROW,), ())


def test_no_rows_of_given_are_any_state() -> None:
    assert as_often((ROW,), ())
    assert not as_often((), (ROW,))
    assert as_often((NARROW,), (ROW,))


def test_what_is_asked_of_a_step_may_be_asked_of_more() -> None:
    asked = {"verb": ("scrub",), "not_manner": ("outward", "returning")}

    assert asks_for_all(asked, {"verb": ("scrub", "wipe"), "not_manner": ("outward",)})
    assert asks_for_all(asked, {"verb": ("scrub",)})
    assert not asks_for_all(asked, {**asked, "actor": ("operator",)})
    assert not asks_for_all({"verb": ("scrub",)}, asked)


def test_moves_are_done_in_their_order() -> None:
    assert in_order(["a", "c"], ["a", "b", "c"])
    assert not in_order(["c", "a"], ["a", "b", "c"])
    assert not in_order(["a"], [])
