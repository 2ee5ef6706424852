"""What is asked, why, by which rules, and whether the antiseptic waits for it."""

from __future__ import annotations

from datetime import UTC, date, datetime
from types import SimpleNamespace
from typing import Any

from lumenkeep.core.model import Birth, Case, Child, Elapsed, Gestation, Line, People
from lumenkeep.core.planning.questions import facts_in_doubt, questions
from lumenkeep.core.policy import Situation
from lumenkeep.core.policy.conditions import Comparison, LiveWhen, live

AT = datetime(2026, 1, 20, 12, 0, tzinfo=UTC)
WEEK = Elapsed(7 * 86_400)


def situation(**facts: Any) -> Situation:
    return Situation(Case(Child(**facts), Line(), People(), UTC), AT)


def rule(number: int, *facts: str) -> Any:
    limits = {"age": WEEK, "gestation_at_birth": 196, "mass": 1000}
    row = tuple(
        live(Comparison(fact, "below", "n"), limits[fact])
        if fact in limits
        else live(Comparison(fact, "is", None, ("chest",)), None)
        for fact in facts
    )
    said = SimpleNamespace(id=f"rule-{number}", because=f"Because of {number}.")
    return SimpleNamespace(rule=said, when=LiveWhen((row,)))


def asked(blocking: Any, others: Any, known: Situation) -> list[tuple[Any, ...]]:
    return [
        (q.fact, q.ask, q.because, q.rules, q.blocks)
        for q in questions(blocking, others, known)
    ]


def test_where_nothing_is_open_nothing_is_asked() -> None:
    assert questions((), (), situation()) == ()


def test_a_birth_date_without_a_time_asks_for_the_time() -> None:
    known = situation(born=Birth.on(date(2026, 1, 13), UTC))

    assert asked((rule(0, "age"),), (), known) == [
        (
            "age",
            "At what time of day was the child born?",
            "This may apply, and only the date of birth is known: Because of 0.",
            ("rule-0",),
            True,
        )
    ]


def test_an_unknown_birth_asks_for_the_birth() -> None:
    assert asked((), (rule(0, "age"),), situation()) == [
        (
            "age",
            "When was the child born?",
            "This may apply, and the age is not known: Because of 0.",
            ("rule-0",),
            False,
        )
    ]


def test_a_fact_known_only_roughly_is_told_as_it_is_known() -> None:
    known = situation(
        gestation_at_birth=Gestation(190, 200), born=Birth.on(date(2026, 1, 13), UTC)
    )

    [found] = asked((rule(0, "gestation_at_birth"),), (), known)

    words = known.value_in_words("gestation_at_birth")
    assert words is not None
    assert words.startswith("born at ")
    assert found[1] == "At how many weeks and days was the child born?"
    assert found[2] == (
        f"This may apply, and the gestation at birth is {words}: Because of 0."
    )


def test_one_question_names_every_rule_once_and_blocks_where_one_does() -> None:
    one, two, three = rule(1, "mass"), rule(2, "mass", "site"), rule(3, "mass")

    found = asked((one, one), (two, three), situation())

    assert [(f, r, b) for f, _, _, r, b in found] == [
        ("mass", ("rule-1", "rule-2", "rule-3"), True),
        ("site", ("rule-2",), False),
    ]
    assert found[0][2] == (
        "This may apply, and the mass is not known: "
        "Because of 1. Because of 2. Because of 3."
    )


def test_two_rules_with_one_reason_tell_it_once() -> None:
    again = rule(2, "mass")
    again.rule.because = "Because of 1."

    [found] = asked((rule(1, "mass"), again), (), situation())

    assert found[2] == "This may apply, and the mass is not known: Because of 1."
    assert found[3] == ("rule-1", "rule-2")


def test_what_the_plan_chooses_itself_is_not_asked() -> None:
    rules = (rule(0, "dressing", "site"), rule(1, "agent"), rule(2, "mass"))

    assert [q.fact for q in questions(rules, (), situation())] == ["site", "mass"]
    assert facts_in_doubt(rules, situation()) == ("site", "mass")
