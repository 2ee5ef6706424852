"""What will change: at which instant, in which words, and what waits for a chart."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from types import SimpleNamespace
from typing import Any

import pytest

from lumenkeep.core.model import (
    Birth,
    CalendarSpan,
    Case,
    Child,
    Elapsed,
    Line,
    People,
    Weight,
)
from lumenkeep.core.planning.changes import changes_later
from lumenkeep.core.policy import Situation
from lumenkeep.core.policy.conditions import Comparison, LiveWhen, live

AT = datetime(2026, 1, 20, 12, 0, tzinfo=UTC)
BORN = AT - timedelta(days=9)
DAYS = {n: Elapsed(n * 86_400) for n in (3, 7, 14, 21)}


def baby(born: Birth | None = None, **facts: Any) -> Situation:
    child = Child(
        born=born or Birth.at(BORN), weights=(Weight(AT, 900),), skin_at_site="broken"
    )
    return Situation(Case(child, Line(**facts), People(), UTC), AT)


def rule(
    number: int,
    *rows: tuple[tuple[str, str, Any], ...],
    lifts: str | None = None,
    bars: tuple[str, ...] = ("first",),
) -> Any:
    when = LiveWhen(
        tuple(
            tuple(
                live(Comparison(fact, test, None, (limit,)), None)
                if isinstance(limit, str)
                else live(Comparison(fact, test, f"{limit} of them"), limit)
                for fact, test, limit in row
            )
            for row in rows
        )
    )
    said = SimpleNamespace(
        id=f"rule-{number}", because=f"Because of {number}.", lifts=lifts, bars=bars
    )
    return SimpleNamespace(rule=said, when=when)


def bones(answer: Any, *judged: bool | None) -> Any:
    return SimpleNamespace(answer=lambda: answer, judged=judged, agent=None, cover=None)


PLANNED = ("plan", "second", "second", "gauze")


def later(
    rules: tuple[Any, ...],
    known: Situation,
    then: dict[datetime, Any] | None = None,
    turning: tuple[Any, ...] = (),
    judged: tuple[bool | None, ...] | None = None,
) -> list[tuple[datetime | None, str | None, str]]:
    """Return what changes where ``then`` says which answers later instants have."""
    now = judged or tuple(r.when.truth(known) for r in rules)
    start = bones(PLANNED, *now)
    unchanged = bones(PLANNED, *(False for _ in rules))
    agents = {
        "first": SimpleNamespace(label="The FIRST agent"),
        "second": SimpleNamespace(label="Second"),
    }
    policy = SimpleNamespace(antiseptics=("first", "second"), agents=agents)
    book = SimpleNamespace(
        exclusions=rules,
        policy=policy,
        plausible=(),
        weighings=(),
        words=lambda number: f"«{number}»",
        cells=SimpleNamespace(of=lambda s: s.at),
    )
    kept = SimpleNamespace(get=lambda at: (then or {}).get(at, unchanged))
    prepared: Any = SimpleNamespace(
        book=book,
        bar_agents=tuple(range(len(rules))),
        turning_ages=turning,
        skeletons=kept,
    )
    return [(c.at, c.when, c.what) for c in changes_later(prepared, known, start)]


def day(number: int) -> datetime:
    return BORN + timedelta(days=number)


AGE_14 = rule(0, (("age", "below", DAYS[14]),))


@pytest.mark.parametrize(
    ("answer", "told"),
    [
        (("stop", None, None, None), "From then a person must decide."),
        (("stop", "first", "first", "gauze"), "From then a person must decide."),
        (("ask", None, None, None), "From then a person must decide."),
        (
            ("ask", "first", "first", "gauze"),
            "From then the first agent may be possible; more must be known.",
        ),
        (
            ("plan", "first", "second", "gauze"),
            "From then the first agent may be possible; more must be known.",
        ),
        (
            ("plan", "first", "first", "gauze"),
            "From then: the first agent, under: gauze, if nothing else has changed.",
        ),
        (
            ("plan", "first", "first", None),
            "From then: the first agent, if nothing else has changed.",
        ),
    ],
)
def test_a_new_answer_is_told_in_words(answer: Any, told: str) -> None:
    found = later((AGE_14,), baby(), {day(14): bones(answer, False)})

    assert found == [(day(14), None, f"“Because of 0.” no longer holds. {told}")]


def test_an_age_at_which_nothing_changes_is_not_told() -> None:
    assert later((), baby(), turning=(DAYS[14],)) == []


def test_an_age_that_no_rule_ends_at_may_change_the_answer() -> None:
    then = {day(14): bones(("stop", None, None, None))}

    assert later((), baby(), then, turning=(DAYS[14], DAYS[21]))[0] == (
        day(14),
        None,
        "From then a person must decide.",
    )


def test_each_answer_is_compared_with_the_one_before_it() -> None:
    stop = bones(("stop", None, None, None))
    found = later(
        (), baby(), {day(14): stop, day(21): stop}, turning=(DAYS[21], DAYS[14])
    )

    assert [at for at, _, _ in found] == [day(14)]


def test_ages_passed_or_reached_this_instant_are_not_to_come() -> None:
    stop = bones(("stop", None, None, None))
    nine = Elapsed(9 * 86_400)
    then = dict.fromkeys((AT, day(3), day(9)), stop)

    assert later((), baby(), then, turning=(DAYS[3], nine)) == []

    born = Birth(AT - timedelta(days=7), AT - timedelta(days=6))
    assert later((), baby(born), then, turning=(DAYS[7],)) == []


def test_of_a_birth_date_both_ends_turn_unless_one_has_passed() -> None:
    born = Birth(AT - timedelta(days=7, hours=12), AT - timedelta(days=6, hours=12))
    stop = bones(("stop", None, None, None))
    ask = bones(("ask", "first", None, None))
    may, must = born.earliest + timedelta(days=14), born.latest + timedelta(days=14)

    both = later((), baby(born), {may: ask, must: stop}, turning=(DAYS[14],))
    one = later(
        (), baby(born), {born.latest + timedelta(days=7): stop}, turning=(DAYS[7],)
    )

    assert [at for at, _, _ in both] == [may, must]
    assert [at for at, _, _ in one] == [born.latest + timedelta(days=7)]


def test_with_no_birth_known_nothing_turns_and_nothing_ends() -> None:
    unborn = Situation(Case(Child(), Line(), People(), UTC), AT)

    assert later((AGE_14,), unborn, turning=(DAYS[14],)) == []


def test_a_calendar_age_ends_a_rule_too() -> None:
    month = rule(0, (("age", "below", CalendarSpan(1, 0)),))

    found = later((month,), baby())

    assert [(at, what) for at, _, what in found] == [
        (BORN.replace(month=2), "“Because of 0.” no longer holds.")
    ]


def test_an_undecided_rule_is_settled_when_its_age_has_surely_passed() -> None:
    born = Birth(AT - timedelta(days=14, hours=6), AT - timedelta(days=13, hours=6))

    found = later((AGE_14,), baby(born))

    assert found == [
        (
            born.latest + timedelta(days=14),
            None,
            "“Because of 0.” is then settled: it no longer holds.",
        )
    ]


def test_a_rule_that_does_not_hold_does_not_end() -> None:
    assert later((rule(0, (("age", "below", DAYS[7]),)),), baby()) == []
    assert later((AGE_14,), baby(), judged=(False,)) == []


def test_rules_that_end_together_are_told_together_in_order() -> None:
    rules = (
        AGE_14,
        rule(1, (("age", "below", DAYS[21]),)),
        rule(2, (("age", "below", DAYS[14]),)),
    )

    assert later(rules, baby()) == [
        (
            day(14),
            None,
            "“Because of 0.” no longer holds. “Because of 2.” no longer holds.",
        ),
        (day(21), None, "“Because of 1.” no longer holds."),
    ]


def test_a_rule_ends_with_the_last_of_its_rows_and_the_first_limit_in_a_row() -> None:
    rows = (
        (("age", "below", DAYS[7]),),
        (("age", "below", DAYS[14]), ("age", "below", DAYS[21])),
        (("age", "below", DAYS[14]),),
    )
    assert [at for at, _, _ in later((rule(0, *rows),), baby())] == [day(14)]

    longer = (*rows, (("age", "below", DAYS[21]),))
    assert [at for at, _, _ in later((rule(0, *longer),), baby())] == [day(21)]


def test_a_limit_already_passed_does_not_end_a_row_that_may_hold() -> None:
    """The other way round: an age "at least" opens a row and never ends it."""
    opened = rule(0, (("age", "at_least", DAYS[7]), ("age", "below", DAYS[14])))
    stays = rule(0, (("age", "at_least", DAYS[7]), ("skin_at_site", "is", "broken")))

    assert [at for at, _, _ in later((opened,), baby())] == [day(14)]
    assert later((stays,), baby()) == []


def test_a_row_that_age_does_not_end_keeps_the_rule() -> None:
    mixed = rule(0, (("age", "below", DAYS[14]),), (("mass", "below", 1000),))

    assert later((mixed,), baby()) == []


HEAVIER = "a mass of «1000 of them» or more is charted"


def test_a_rule_on_mass_waits_for_a_weighing() -> None:
    rows = (("mass", "below", 1000), ("gestation_at_birth", "at_least", 0))

    assert later((rule(0, rows),), baby()) == [
        (None, HEAVIER, "“Because of 0.” then no longer holds.")
    ]


@pytest.mark.parametrize(
    "row",
    [
        (("mass", "at_most", 1000),),
        (("mass", "at_least", 100),),
        (("gestation_at_birth", "at_least", 0),),
        (("skin_at_site", "is", "broken"),),
        (),
    ],
)
def test_a_rule_that_no_weighing_ends_names_none(row: Any) -> None:
    assert later((rule(0, row),), baby()) == []


def test_a_rule_on_another_mass_of_no_child_names_none() -> None:
    below = rule(0, (("mass", "below", 1000),))
    open_ = Situation(Case(Child(born=Birth.at(BORN)), Line(), People(), UTC), AT)

    assert later((below,), open_) == []
    assert later((below,), open_, judged=(True,)) == []


def test_a_rule_says_itself_what_lifts_it_and_comes_after_the_instants() -> None:
    rules = (
        rule(0, (("mass", "below", 1000),), lifts="the skin is whole"),
        rule(1, lifts="somebody says so"),
        rule(2, (("age", "below", DAYS[14]),), lifts="the skin is whole"),
        rule(3, (("skin_at_site", "is", "intact"),), lifts="never"),
    )

    assert later(rules, baby()) == [
        (day(14), None, "“Because of 2.” no longer holds."),
        (None, "the skin is whole", "“Because of 0.” then no longer holds."),
        (None, "somebody says so", "“Because of 1.” then no longer holds."),
    ]


def test_an_undecided_rule_does_not_say_what_would_lift_it() -> None:
    open_ = rule(0, (("site", "is", "chest"),), lifts="somebody says so")

    assert later((open_,), baby()) == []


def test_what_still_bars_the_foremost_agent_is_told_where_nothing_changes() -> None:
    others = tuple(
        rule(n, (("mass", "below", 1000),), bars=bars)
        for n, bars in enumerate(
            (("first",), ("second",), ("second", "first"), ("first",), ("first",)), 1
        )
    )
    judged = (False, True, True, True, None, False)
    then = {day(14): bones(PLANNED, *judged)}

    at, when, what = later((AGE_14, *others), baby(), then)[0]

    assert (at, when) == (day(14), None)
    assert what == (
        "“Because of 0.” no longer holds. "
        "Still in the way: “Because of 1.” “Because of 3.”"
    )
