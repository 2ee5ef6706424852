"""Two children on whom a rule differs never share a cell; others do."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from math import inf
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any

import pytest

from lumenkeep.core.model import (
    Birth,
    CalendarSpan,
    Case,
    Child,
    Elapsed,
    Gestation,
    Line,
    People,
    Weight,
    words,
)
from lumenkeep.core.model.closed_facts import CLOSED_FACTS, ClosedFact
from lumenkeep.core.policy import Situation, turning_ages
from lumenkeep.core.policy.cell import SPAN_FACTS, WORD_FACTS, Cells
from lumenkeep.core.policy.conditions import Comparison, LiveWhen, live
from lumenkeep.core.policy.solver.child import CHOICES
from lumenkeep.core.policy.solver.grid import CHOICE_LABELS
from lumenkeep.core.policy.vocabulary import FACTS, PLANNED_FACTS

if TYPE_CHECKING:
    from collections.abc import Hashable

AT = datetime(2026, 1, 20, 12, 0, tzinfo=UTC)
WEEK = timedelta(days=7)


def rule(*conditions: tuple[str, Any]) -> Any:
    """Return a live rule with one row; a limit that is a text is a word."""
    row = [
        live(Comparison(fact, "is", None, (limit,)), None)
        if isinstance(limit, str)
        else live(Comparison(fact, "below", "n"), limit)
        for fact, limit in conditions
    ]
    return SimpleNamespace(when=LiveWhen((tuple(row),)))


def cells(*rules: Any) -> Cells:
    book: Any = SimpleNamespace(every_live_rule=lambda: rules)
    return Cells(book)


def at(line: dict[str, Any] | None = None, **facts: Any) -> Situation:
    return Situation(Case(Child(**facts), Line(**line or {}), People(), UTC), AT)


def aged(age: timedelta, **facts: Any) -> Situation:
    return at(born=Birth.at(AT - age), **facts)


def place(known: Situation) -> Hashable:
    """Return the cell of a set with limits of every kind."""
    every_limit = cells(
        rule(("mass", 1000.0), ("age", Elapsed(7 * 86_400))),
        rule(("gestation_at_birth", 224), ("postmenstrual_age", 280)),
        rule(("mass", 2000.0), ("lumens", 2)),
        rule(("age", CalendarSpan(2, 0)), ("site", "femoral")),
    )
    return every_limit.of(known)


def three_of(fact: str, limit: float) -> list[Situation]:
    """Return situations just below, exactly at and just above a limit."""
    values = (limit - 1, limit, limit + 1)
    if fact == "mass":
        return [at(weights=(Weight(AT, v),)) for v in values]
    return [at(gestation_at_birth=Gestation(int(v), int(v))) for v in values]


@pytest.mark.parametrize(
    ("fact", "limit"), [("mass", 1000), ("mass", 2000), ("gestation_at_birth", 224)]
)
def test_below_at_and_above_a_limit_are_three_cells(fact: str, limit: float) -> None:
    assert len({place(s) for s in three_of(fact, limit)}) == 3


@pytest.mark.parametrize("end", ["low", "high"])
@pytest.mark.parametrize(
    ("fact", "limit"), [("mass", 1000), ("mass", 2000), ("gestation", 224)]
)
def test_each_end_of_a_span_tells_below_at_and_above(
    fact: str, limit: float, end: str
) -> None:
    found = set()
    for value in (limit - 1, limit, limit + 1):
        known = at()
        setattr(known, f"{fact}_low", 0)
        setattr(known, f"{fact}_high", inf)
        setattr(known, f"{fact}_{end}", value)
        found.add(place(known))

    assert len(found) == 3


def test_between_two_limits_all_are_one_cell() -> None:
    assert place(at(weights=(Weight(AT, 1001),))) == place(
        at(weights=(Weight(AT, 1999),))
    )
    assert place(at(gestation_at_birth=Gestation(225, 225))) == (
        place(at(gestation_at_birth=Gestation(279, 279)))
    )


def test_the_limits_are_those_of_their_own_fact() -> None:
    """A mass lies among the masses: 224 and 280 are limits of other facts."""
    places = {place(at(weights=(Weight(AT, g),))) for g in (100, 250, 999)}

    assert len(places) == 1


@pytest.mark.parametrize("days", [0, -1, 1])
@pytest.mark.parametrize("gestation", [(273, 273), (270, 273), (273, 276)])
def test_a_postmenstrual_age_has_a_place_at_both_ends(
    gestation: tuple[int, int], days: int
) -> None:
    """Only the postmenstrual age moves here: nothing else has a limit."""
    only = cells(rule(("postmenstrual_age", 280)))
    born = Gestation(*gestation)
    low, high = ((g + 7 + days - 280 > 0, g + 7 + days - 280 >= 0) for g in gestation)

    found = only.of(aged(WEEK + timedelta(days=days), gestation_at_birth=born))

    least, most = int(low[0]), int(high[0])
    assert found[1:9] == (0,) * 8  # type: ignore[index]
    assert found[9] == (least, int(low[1]), most, int(high[1]))  # type: ignore[index]


def test_without_a_postmenstrual_limit_none_is_told_apart() -> None:
    only = cells(rule(("mass", 1000.0)))
    young, old = (
        aged(timedelta(days=d), gestation_at_birth=Gestation(273, 273))
        for d in (1, 100)
    )

    assert only.of(young) == only.of(old)


def test_each_age_limit_is_surely_possibly_or_not_reached() -> None:
    def born_on(day: int) -> Situation:
        start = datetime(2026, 1, day, tzinfo=UTC)
        return at(born=Birth(start, start + timedelta(days=1)))

    ages = [born_on(day) for day in (12, 13, 14)]

    assert len({place(s) for s in ages}) == 3
    assert len({place(s) for s in (*ages, at())}) == 4


def test_a_later_limit_may_be_told_apart_alone() -> None:
    around = [aged(timedelta(days=d)) for d in (58, 70)]

    assert len({place(s) for s in around}) == 2


def test_a_fact_in_words_counts_where_a_rule_names_it() -> None:
    assert place(at({"site": "femoral"})) != place(at())
    assert place(at({"lumens": 1})) != place(at({"lumens": 2}))
    assert place(at(unit="icu")) == place(at(unit="ward"))


@pytest.mark.parametrize(
    "fact", [one for one in CLOSED_FACTS if one.is_yes_no], ids=lambda one: one.name
)
def test_every_yes_or_no_reaches_rules_cells_and_proof(fact: ClosedFact) -> None:
    said = {fact.attribute: True}
    child = Child(**said) if Child in fact.whose else Child()
    line = Line(**said) if Line in fact.whose else Line()

    assert getattr(Situation(Case(child, line, People()), AT), fact.name) == "yes"
    assert getattr(Situation(Case(Child(), Line(), People()), AT), fact.name) is None
    assert CHOICES[fact.name] == tuple(CHOICE_LABELS[fact.name]) == tuple(words.YES_NO)
    assert fact.name in WORD_FACTS


def test_no_fact_that_is_known_of_a_child_is_left_out_of_its_cell() -> None:
    assert {*FACTS} == {"age", *SPAN_FACTS, *PLANNED_FACTS, *WORD_FACTS}
    assert vars(Situation(Case(Child(), Line(), People()), AT)).keys() >= {*WORD_FACTS}


def test_sensitivities_count_always_since_a_strange_one_is_a_caution() -> None:
    places = {
        cells().of(at(sensitivities=words))
        for words in (frozenset(), frozenset({"an-invented-gum"}))
    }

    assert len(places | {cells().of(at())}) == 3


def test_whether_a_birth_is_known_counts() -> None:
    assert cells().of(aged(WEEK)) != cells().of(at())


def test_ages_turn_for_exclusions_referrals_and_what_is_plausible() -> None:
    week, month, year = Elapsed(7 * 86_400), CalendarSpan(1, 0), CalendarSpan(12, 0)
    book: Any = SimpleNamespace(
        exclusions=(rule(("mass", 1000.0), ("age", week)), rule(("age", week))),
        referrals=(rule(("age", month)),),
        plausible=(rule(("age", year)),),
        weighings=(rule(("age", month)),),
        notes=(rule(("age", CalendarSpan(2, 0))),),
    )

    assert turning_ages(book) == (week, month, year)


AGES = (
    Elapsed(7 * 86_400),
    Elapsed(30 * 86_400),
    CalendarSpan(1, 0),
    CalendarSpan(0, 28),
    CalendarSpan(2, 0),
    CalendarSpan(12, 0),
)


def every_age() -> list[Situation]:
    """Return ages around each limit and between, exact and known by the day only."""
    at_limits = {d * 24 for d in (7, 28, 30, 31, 59, 60, 61, 62, 364, 365, 366)}
    hours = sorted({*at_limits, *range(0, 100 * 24, 37), 360 * 24, 370 * 24})
    second = timedelta(seconds=1)
    exact = [
        aged(timedelta(hours=h) + step)
        for h in hours
        for step in (-second, timedelta(0), second)
    ]
    days = [
        at(born=Birth(AT - age - timedelta(days=1), AT - age))
        for age in (timedelta(hours=h) for h in hours)
    ]
    return [*exact, *days, at()]


def test_one_cell_holds_only_children_of_whom_every_age_limit_says_the_same() -> None:
    placed = cells(*(rule(("age", limit)) for limit in AGES))

    said: dict[Hashable, set[Any]] = {}
    for known in every_age():
        answers = tuple(known.age_against(limit) for limit in AGES)
        said.setdefault(placed.of(known), set()).add(answers)

    assert len(said) > len(AGES)
    assert {len(answers) for answers in said.values()} == {1}


def test_ages_well_between_two_limits_are_one_cell() -> None:
    placed = cells(*(rule(("age", limit)) for limit in AGES))

    for low, high in ((8, 25), (65, 333), (375, 3_000)):
        ages = {placed.of(aged(timedelta(days=d))) for d in (low, low + 1, high)}
        assert len(ages) == 1
