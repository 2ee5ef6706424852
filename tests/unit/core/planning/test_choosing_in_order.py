"""Which item is chosen, which verdict it makes, and which reasons are told."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from types import SimpleNamespace
from typing import Any

import pytest

from lumenkeep.core.model import Birth, Case, Child, Gestation, Line, People, Weight
from lumenkeep.core.planning.choose import Choice, choose, excluded, judge, reason
from lumenkeep.core.planning.verdict import Verdict, decide
from lumenkeep.core.policy import Situation
from lumenkeep.core.policy.conditions import Comparison, LiveWhen, live

AT = datetime(2026, 1, 20, 12, 0, tzinfo=UTC)
KNOWN = Situation(
    Case(
        Child(
            born=Birth.at(AT - timedelta(days=9)),
            gestation_at_birth=Gestation(180, 180),
            weights=(Weight(AT, 700),),
            skin_at_site="broken",
        ),
        Line(),
        People(),
        UTC,
    ),
    AT,
)
ORDER = ("first", "second", "third")


def rule(number: int, bars: tuple[str, ...], if_unknown: str = "ask") -> Any:
    said = SimpleNamespace(
        id=f"rule-{number}",
        because=f"Because of {number}.",
        source=f"source-{number}",
        bars=bars,
        if_unknown=if_unknown,
    )
    return SimpleNamespace(rule=said, when=LiveWhen(()))


def prepared(*rules: Any, referrals: tuple[Any, ...] = ()) -> Any:
    items = {item for r in rules for item in r.rule.bars}
    return SimpleNamespace(
        book=SimpleNamespace(
            exclusions=rules,
            referrals=referrals,
            policy=SimpleNamespace(antiseptics=ORDER),
        ),
        barred_by={
            item: tuple(i for i, r in enumerate(rules) if item in r.rule.bars)
            for item in items
        },
    )


def a_rule_each(*if_unknown: str) -> Any:
    words = (*if_unknown, "ask", "ask", "ask")
    return prepared(*(rule(i, (ORDER[i],), words[i]) for i in range(3)))


@pytest.mark.parametrize(
    ("judged", "first", "certain", "doubts"),
    [
        ((False, False, False), "first", "first", ()),
        ((True, False, False), "second", "second", ()),
        ((True, True, False), "third", "third", ()),
        ((True, True, True), None, None, ()),
        ((None, False, False), "first", "second", (0,)),
        ((None, True, False), "first", "third", (0,)),
        ((None, None, False), "first", "third", (0, 1)),
        ((None, None, None), "first", None, (0, 1, 2)),
        ((True, None, False), "second", "third", (1,)),
        ((True, None, None), "second", None, (1, 2)),
        ((True, True, None), "third", None, (2,)),
        ((None, True, True), "first", None, (0,)),
        ((False, None, True), "first", "first", ()),
    ],
)
def test_the_first_that_nothing_bars_is_chosen(
    judged: tuple[bool | None, ...],
    first: str | None,
    certain: str | None,
    doubts: tuple[int, ...],
) -> None:
    choice = choose(a_rule_each(), judged, ORDER)

    assert choice == Choice(first, certain, doubts)
    assert choice.is_decided is (first == certain)


def test_what_only_the_bare_site_shows_leaves_nothing_in_doubt() -> None:
    rules = a_rule_each("look", "look", "look")

    assert choose(rules, (None, None, None), ORDER) == Choice("first", "first", ())
    assert choose(rules, (True, None, False), ORDER) == Choice("second", "second", ())


def test_one_open_rule_among_several_is_the_doubt_named() -> None:
    rules = prepared(
        rule(0, ("first",), "look"),
        rule(1, ("first", "second")),
        rule(2, ("first",)),
        rule(3, ("second",)),
    )

    assert choose(rules, (None, None, False, False), ORDER) == Choice(
        "first", "third", (1, 1)
    )
    assert choose(rules, (None, False, None, False), ORDER) == Choice(
        "first", "second", (2,)
    )
    assert choose(rules, (None, None, True, False), ("first",)) == Choice(
        None, None, ()
    )


def test_every_exclusion_is_judged_in_the_books_order() -> None:
    under = LiveWhen(((live(Comparison("mass", "below", "n"), 1000),),))
    over = LiveWhen(((live(Comparison("mass", "above", "n"), 1000),),))
    where = LiveWhen(((live(Comparison("site", "is", None, ("chest",)), None),),))
    rules = prepared(
        *(SimpleNamespace(rule=rule(0, ()).rule, when=w) for w in (under, over, where))
    )

    assert judge(rules, KNOWN) == [True, False, None]


# ---------------------------------------------------------------- the verdict

HOLDS = LiveWhen(())
FAILS = LiveWhen(((live(Comparison("mass", "above", "n"), 1000),),))
OPEN = LiveWhen(((live(Comparison("site", "is", None, ("chest",)), None),),))


def referral(when: LiveWhen) -> Any:
    return SimpleNamespace(rule=SimpleNamespace(id="refer"), when=when)


@pytest.mark.parametrize(
    ("judged", "when", "word", "agent", "until_known"),
    [
        ((False, False, False), FAILS, "plan", "first", None),
        ((True, False, False), FAILS, "plan", "second", None),
        ((None, False, False), FAILS, "ask", None, "second"),
        ((None, None, None), FAILS, "ask", None, None),
        ((True, True, True), FAILS, "stop", None, None),
        ((False, False, False), OPEN, "ask", None, None),
        ((None, False, False), OPEN, "ask", None, None),
        ((True, True, True), OPEN, "stop", None, None),
        ((False, False, False), HOLDS, "stop", None, None),
        ((None, False, False), HOLDS, "stop", None, None),
    ],
)
def test_the_verdict_follows_from_choice_and_referrals(
    judged: tuple[bool | None, ...],
    when: LiveWhen,
    word: str,
    agent: str | None,
    until_known: str | None,
) -> None:
    rules = a_rule_each()
    rules.book.referrals = (referral(when),)

    verdict = decide(rules, KNOWN, judged)

    assert (verdict.word, verdict.agent, verdict.until_known) == (
        word,
        agent,
        until_known,
    )
    assert len(verdict.referring) == (when is HOLDS)
    assert len(verdict.may_refer) == (when is OPEN)


def test_a_stop_names_no_agent_even_where_one_is_left() -> None:
    stopped = Verdict("stop", Choice("first", "first", ()), (), ())

    assert (stopped.agent, stopped.until_known) == (None, None)


# ---------------------------------------------------------------- the reasons


def barring(*rows: tuple[Comparison, ...], limits: dict[str, Any]) -> Any:
    when = LiveWhen(
        tuple(tuple(live(c, limits.get(c.fact)) for c in row) for row in rows)
    )
    return SimpleNamespace(rule=rule(0, ORDER).rule, when=when)


MASS = Comparison("mass", "below", "n")
GESTATION = Comparison("gestation_at_birth", "below", "n")
AGE = Comparison("age", "at_least", "n")
SKIN = Comparison("skin_at_site", "is", None, ("broken",))


@pytest.mark.parametrize(
    ("row", "told"),
    [
        ((MASS,), "Because of 0 (700 g)."),
        ((GESTATION,), "Because of 0 (born at 25w5d)."),
        ((AGE,), "Because of 0 (9 days)."),
        ((GESTATION, AGE), "Because of 0 (born at 25w5d)."),
        ((MASS, GESTATION), "Because of 0 (700 g, born at 25w5d)."),
        ((MASS, MASS), "Because of 0 (700 g)."),
        ((SKIN,), "Because of 0."),
        ((SKIN, MASS), "Because of 0 (700 g)."),
    ],
)
def test_a_reason_tells_the_facts_of_the_row_that_holds(
    row: tuple[Comparison, ...], told: str
) -> None:
    from lumenkeep.core.model import Elapsed

    limits = {"mass": 1000, "gestation_at_birth": 196, "age": Elapsed(3600)}

    assert reason(barring(row, limits=limits), KNOWN) == told


def test_a_reason_leaves_out_rows_that_do_not_hold() -> None:
    limits = {"mass": 1000, "gestation_at_birth": 100}
    found = reason(barring((GESTATION,), (MASS,), limits=limits), KNOWN)

    assert found == "Because of 0 (700 g)."


def test_every_barred_item_is_listed_with_each_of_its_rules() -> None:
    rules = prepared(rule(0, ("first",)), rule(1, ("first", "third")), rule(2, ORDER))

    found = excluded(rules, (True, True, None), ORDER, KNOWN)

    assert [(e.item, e.rule, e.because, e.source) for e in found] == [
        ("first", "rule-0", "Because of 0.", "source-0"),
        ("first", "rule-1", "Because of 1.", "source-1"),
        ("third", "rule-1", "Because of 1.", "source-1"),
    ]
    assert excluded(rules, (None, False, None), ORDER, KNOWN) == ()
    assert excluded(rules, (True, True, True), ("unheard-of",), KNOWN) == ()
