"""Each comparison of a rule, on both sides of its limit and where a fact is unknown."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from lumenkeep.core.model import (
    NOT_GIVEN,
    Birth,
    CalendarSpan,
    Case,
    Child,
    Dressing,
    Elapsed,
    Finding,
    Gestation,
    Line,
    People,
    Weight,
)
from lumenkeep.core.policy.conditions import Comparison, LiveWhen, live
from lumenkeep.core.policy.situation import Situation

BORN = datetime(2026, 1, 10, 10, 0, tzinfo=UTC)
DAY = timedelta(days=1)
MINUTE = timedelta(minutes=1)
NOON = datetime(2026, 1, 20, 12, 0, tzinfo=UTC)


def situation(at: datetime = NOON, **facts: Any) -> Situation:
    """Return a situation in which nothing is known but what is given."""
    of_line = {k: facts.pop(k) for k in ("kind", "site", "lumens") if k in facts}
    found = facts.pop("findings", NOT_GIVEN)
    line = Line(dressing=Dressing(findings=found), **of_line)
    return Situation(Case(Child(**facts), line, People(), UTC), at)


def truth(
    fact: str, test: str, limit: Any, known: Situation, words: tuple[str, ...] = ()
) -> bool | None:
    comparison = Comparison(fact, test, None if words else "a-number", words)
    return live(comparison, limit).truth(known)


SPANS = [
    ("below", True, False, False),
    ("at_most", True, True, False),
    ("at_least", False, True, True),
    ("above", False, False, True),
]


@pytest.mark.parametrize(("test", "less", "same", "more"), SPANS)
def test_a_mass_against_a_limit(test: str, less: bool, same: bool, more: bool) -> None:
    found = [
        truth("mass", test, 1000, situation(weights=(Weight(NOON, grams),)))
        for grams in (999, 1000, 1001)
    ]

    assert found == [less, same, more]


@pytest.mark.parametrize(("test", "less", "same", "more"), SPANS)
def test_a_gestation_against_a_limit(
    test: str, less: bool, same: bool, more: bool
) -> None:
    found = [
        truth(
            "gestation_at_birth",
            test,
            196,
            situation(gestation_at_birth=Gestation(days, days)),
        )
        for days in (195, 196, 197)
    ]

    assert found == [less, same, more]


@pytest.mark.parametrize(("test", "less", "same", "more"), SPANS)
def test_a_number_of_lumens_against_a_limit(
    test: str, less: bool, same: bool, more: bool
) -> None:
    found = [truth("lumens", test, 2, situation(lumens=count)) for count in (1, 2, 3)]

    assert found == [less, same, more]


@pytest.mark.parametrize(("test", "less", "same", "more"), SPANS)
def test_a_postmenstrual_age_against_a_limit(
    test: str, less: bool, same: bool, more: bool
) -> None:
    """Born at 28 weeks, 14 days old: 30 weeks."""
    child = {"born": Birth.at(BORN), "gestation_at_birth": Gestation(196, 196)}
    found = [
        truth("postmenstrual_age", test, 210, situation(BORN + 14 * DAY + off, **child))
        for off in (-MINUTE, timedelta(0), MINUTE)
    ]

    assert found == [less, same, more]


@pytest.mark.parametrize("test", ["below", "at_most", "at_least", "above"])
@pytest.mark.parametrize("fact", ["mass", "gestation_at_birth", "postmenstrual_age"])
def test_what_is_unknown_decides_nothing(fact: str, test: str) -> None:
    assert truth(fact, test, 196, situation()) is None


def test_weeks_alone_decide_only_away_from_the_limit() -> None:
    weeks = {w: Gestation.read(f"{w}w") for w in (26, 27, 28)}
    found = [
        truth("gestation_at_birth", "below", 28 * 7, situation(gestation_at_birth=g))
        for g in weeks.values()
    ]
    inside = situation(gestation_at_birth=weeks[27])

    assert found == [True, True, False]
    assert truth("gestation_at_birth", "below", 27 * 7 + 3, inside) is None
    assert truth("gestation_at_birth", "at_most", 27 * 7 + 6, inside) is True
    assert truth("gestation_at_birth", "below", 27 * 7 + 6, inside) is None
    assert truth("gestation_at_birth", "above", 27 * 7, inside) is None
    assert truth("gestation_at_birth", "at_least", 27 * 7, inside) is True


def test_an_unknown_line_has_at_least_one_lumen() -> None:
    assert truth("lumens", "at_least", 1, situation()) is True
    assert truth("lumens", "above", 1, situation()) is None
    assert truth("lumens", "below", 2, situation()) is None
    assert truth("lumens", "below", 1, situation()) is False


@pytest.mark.parametrize(
    ("test", "short", "on"), [("below", True, False), ("at_least", False, True)]
)
@pytest.mark.parametrize(
    ("span", "end"),
    [
        (Elapsed(7 * 24 * 3600), BORN + 7 * DAY),
        (CalendarSpan(2, 0), datetime(2026, 3, 10, 10, 0, tzinfo=UTC)),
        (CalendarSpan(0, 3), BORN + 3 * DAY),
    ],
    ids=["seven days of hours", "two months", "three days of the calendar"],
)
def test_an_age_to_the_minute_against_a_limit(
    span: Elapsed | CalendarSpan, end: datetime, test: str, short: bool, on: bool
) -> None:
    born = Birth.at(BORN)

    assert truth("age", test, span, situation(end - MINUTE, born=born)) is short
    assert truth("age", test, span, situation(end, born=born)) is on
    assert truth("age", test, span, situation(end + 400 * DAY, born=born)) is on
    assert truth("age", test, span, situation(BORN, born=born)) is short


@pytest.mark.parametrize(
    ("test", "short", "on"), [("below", True, False), ("at_least", False, True)]
)
@pytest.mark.parametrize(
    ("span", "days"),
    [(Elapsed(7 * 24 * 3600), 7), (CalendarSpan(0, 7), 7), (CalendarSpan(2, 0), 59)],
)
def test_a_birth_date_leaves_the_age_open_for_a_day(
    span: Elapsed | CalendarSpan, days: int, test: str, short: bool, on: bool
) -> None:
    born = Birth.on(BORN.date(), UTC)
    first, last = (edge + days * DAY for edge in (born.earliest, born.latest))

    assert truth("age", test, span, situation(first - MINUTE, born=born)) is short
    assert truth("age", test, span, situation(first, born=born)) is None
    assert truth("age", test, span, situation(last - MINUTE, born=born)) is None
    assert truth("age", test, span, situation(last, born=born)) is on


def test_an_unknown_birth_decides_no_age() -> None:
    for test in ("below", "at_least"):
        assert truth("age", test, Elapsed(3600), situation()) is None
        assert truth("age", test, CalendarSpan(2, 0), situation()) is None


@pytest.mark.parametrize(
    ("fact", "of_case"),
    [
        ("skin_at_site", "skin_at_site"),
        ("unit", "unit"),
        ("site", "site"),
        ("line_kind", "kind"),
    ],
)
def test_a_word_is_or_is_not_among_those_named(fact: str, of_case: str) -> None:
    words = ("one", "two")

    for word, is_so in (("one", True), ("two", True), ("three", False)):
        known = situation(**{of_case: word})
        assert truth(fact, "is", None, known, words) is is_so
        assert truth(fact, "is_not", None, known, words) is not is_so
    for test in ("is", "is_not"):
        assert truth(fact, test, None, situation(), words) is None


@pytest.mark.parametrize("fact", ["agent", "dressing", "set_kind"])
def test_what_is_not_planned_yet_decides_nothing(fact: str) -> None:
    known = situation()

    assert truth(fact, "is", None, known, ("gauze",)) is None
    setattr(known, fact, "gauze")
    assert truth(fact, "is", None, known, ("gauze",)) is True


@pytest.mark.parametrize(
    ("has", "includes", "includes_all"),
    [
        (set(), False, False),
        ({"iodine"}, True, False),
        ({"iodine", "alcohol"}, True, True),
        ({"iodine", "alcohol", "latex"}, True, True),
        ({"latex"}, False, False),
    ],
)
def test_a_set_includes_some_or_all_of_those_named(
    has: set[str], includes: bool, includes_all: bool
) -> None:
    known, words = situation(sensitivities=frozenset(has)), ("iodine", "alcohol")

    assert truth("sensitivities", "includes", None, known, words) is includes
    assert truth("sensitivities", "lacks", None, known, words) is not includes
    assert truth("sensitivities", "includes_all", None, known, words) is includes_all


@pytest.mark.parametrize("test", ["includes", "includes_all", "lacks"])
@pytest.mark.parametrize("fact", ["sensitivities", "findings"])
def test_an_unknown_set_decides_nothing(fact: str, test: str) -> None:
    assert truth(fact, test, None, situation(), ("damp",)) is None


def test_only_what_was_found_by_then_counts() -> None:
    found = (Finding("damp", NOON), Finding("loose", NOON + MINUTE), Finding("soiled"))
    known = situation(findings=found)

    assert known.findings == {"damp", "soiled"}
    assert situation(findings=()).findings == frozenset()


# ---------------------------------------------------------------- rows


def when(*rows: tuple[bool | None, ...]) -> LiveWhen:
    """Return rows whose comparisons have these truths; a mass each, to tell them by."""
    limits = {True: ("below", 2000), False: ("below", 500), None: ("below", 196)}
    facts = {True: "mass", False: "mass", None: "gestation_at_birth"}
    return LiveWhen(
        tuple(
            tuple(
                live(Comparison(facts[part], limits[part][0], "n"), limits[part][1])
                for part in row
            )
            for row in rows
        )
    )


WEIGHED = (Weight(NOON, 1000),)


@pytest.mark.parametrize(
    ("rows", "whole"),
    [
        ([], True),
        ([(True,)], True),
        ([(False,)], False),
        ([(None,)], None),
        ([(True, True)], True),
        ([(True, None)], None),
        ([(None, True)], None),
        ([(None, False)], False),
        ([(False, None)], False),
        ([(True, False)], False),
        ([(False,), (True,)], True),
        ([(None,), (True,)], True),
        ([(None,), (False,)], None),
        ([(False,), (None,)], None),
        ([(False,), (False,)], False),
        ([(None,), (False, True)], None),
    ],
)
def test_a_rule_holds_when_one_row_holds_throughout(
    rows: list[tuple[bool | None, ...]], whole: bool | None
) -> None:
    assert when(*rows).truth(situation(weights=WEIGHED)) is whole


def test_what_would_settle_a_rule_is_told_for_rows_still_open() -> None:
    known = situation(weights=WEIGHED)

    def facts(*rows: tuple[bool | None, ...]) -> list[str]:
        return [c.fact for c in when(*rows).undecided(known)]

    assert facts((None,)) == ["gestation_at_birth"]
    assert facts((None, True)) == ["gestation_at_birth"]
    assert facts((None, False)) == []
    assert facts((True,), (None,)) == ["gestation_at_birth"]
    assert facts((False,)) == []


def test_the_row_that_holds_is_the_first_that_surely_does() -> None:
    known = situation(weights=WEIGHED)
    rule = when((None,), (True, False), (True, True), (True,))

    row = rule.holding_row(known)

    assert row is rule.rows[2]
    assert when((None,), (False,)).holding_row(known) is None


def test_a_live_comparison_keeps_what_it_was_written_with() -> None:
    number = live(Comparison("mass", "below", "chg-mass"), 1000)
    age = live(Comparison("age", "below", "chg-age"), Elapsed(60))
    words = live(Comparison("site", "is", None, ("femoral",)), None)

    assert (number.fact, number.test, number.limit, number.number) == (
        "mass",
        "below",
        1000,
        "chg-mass",
    )
    assert (age.limit, age.number) == (Elapsed(60), "chg-age")
    assert (words.fact, words.test) == ("site", "is")
    assert (words.limit, words.number) == (frozenset({"femoral"}), None)
