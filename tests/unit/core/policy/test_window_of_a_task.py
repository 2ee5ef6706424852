"""Which interval counts: priority, what is open, and two that both hold."""

from __future__ import annotations

from datetime import UTC, datetime
from types import SimpleNamespace
from typing import Any

import pytest

from lumenkeep.core.model import Case, Child, Elapsed, Line, People, Span, Weight
from lumenkeep.core.policy import Situation, window_for
from lumenkeep.core.policy.conditions import Comparison, LiveWhen, live
from lumenkeep.errors import RuleConflictError

AT = datetime(2026, 1, 20, 12, 0, tzinfo=UTC)
KNOWN = Situation(Case(Child(weights=(Weight(AT, 900),)), Line(), People(), UTC), AT)
HOLDS = LiveWhen(())
FAILS = LiveWhen(((live(Comparison("mass", "above", "n"), 1000),),))
OPEN = LiveWhen(((live(Comparison("site", "is", None, ("chest",)), None),),))
SPANS = {f"{h}h": Elapsed(h * 3600) for h in (24, 48, 72, 96)}


def interval(
    id_: str,
    when: LiveWhen,
    not_after: str | None = None,
    not_before: str | None = None,
    priority: int = 0,
) -> Any:
    rule = SimpleNamespace(
        id=id_,
        where=f"a-set/{id_}",
        not_after=not_after,
        not_before=not_before,
        priority=priority,
        nothing_due=False,
    )
    return SimpleNamespace(rule=rule, when=when)


def window(*rules: Any) -> Any:
    def value(number: str) -> Span:
        return SPANS[number]

    def intervals_of(task: str) -> tuple[Any, ...]:
        return rules if task == "set" else ()

    book: Any = SimpleNamespace(value=value, intervals_of=intervals_of)
    return window_for(book, KNOWN, "set")


def ids(found: Any) -> list[str]:
    return [rule.id for rule in found.rules]


def test_no_rule_gives_no_window() -> None:
    assert window() is None
    assert window(interval("one", FAILS, "24h")) is None


def test_the_one_rule_that_holds_gives_its_limits() -> None:
    found = window(interval("one", HOLDS, "72h", "48h"), interval("two", FAILS, "24h"))

    assert (found.not_before, found.not_after) == (SPANS["48h"], SPANS["72h"])
    assert (ids(found), found.is_decided) == (["one"], True)


def test_a_rule_without_limits_waits_for_a_finding() -> None:
    found = window(interval("one", HOLDS))

    assert (found.not_before, found.not_after, ids(found)) == (None, None, ["one"])


def test_the_highest_priority_that_holds_wins() -> None:
    low, high = (
        interval("low", HOLDS, "24h"),
        interval("high", HOLDS, "96h", priority=2),
    )

    for rules in ((low, high), (high, low)):
        found = window(*rules)
        assert (ids(found), found.not_after) == (["high"], SPANS["96h"])
        assert found.is_decided


def test_two_of_equal_priority_are_an_error_that_names_both() -> None:
    with pytest.raises(RuleConflictError) as conflict:
        window(
            interval("one", HOLDS, "24h", priority=1),
            interval("two", HOLDS, "48h", priority=1),
            interval("three", HOLDS, "72h"),
        )

    fault = conflict.value.fault
    assert fault.code == "rules-conflict"
    assert fault.what == (
        "The intervals 'one' and 'two' both apply, and neither has priority."
    )
    assert fault.where == "a-set/one; a-set/two"
    assert fault.mend == "narrow one's conditions, or give one a higher 'priority'"


@pytest.mark.parametrize(
    ("priority", "counted"),
    [(0, ["held"]), (1, ["held", "open"]), (2, ["held", "open"])],
)
def test_an_open_rule_counts_unless_one_above_it_holds(
    priority: int, counted: list[str]
) -> None:
    found = window(
        interval("held", HOLDS, "72h", "24h", priority=1),
        interval("open", OPEN, "48h", "48h", priority=priority),
    )

    assert ids(found) == counted
    assert found.is_decided is (counted == ["held"])
    assert found.not_after == SPANS["48h" if "open" in counted else "72h"]
    assert found.not_before == SPANS["24h"]


def test_among_open_rules_the_strictest_counts() -> None:
    one = interval("one", OPEN, "72h", "48h", priority=3)
    two = interval("two", OPEN, "96h", "24h")

    found = window(one, two)

    assert (ids(found), found.is_decided) == (["one", "two"], False)
    assert (found.not_before, found.not_after) == (SPANS["24h"], SPANS["72h"])


def test_where_one_open_rule_has_no_first_time_none_is_told() -> None:
    found = window(interval("one", OPEN, "72h", "48h"), interval("two", OPEN, "24h"))
    other = window(interval("one", OPEN, "72h"), interval("two", OPEN))

    assert (found.not_before, found.not_after) == (None, SPANS["24h"])
    assert (other.not_before, other.not_after) == (None, SPANS["72h"])
