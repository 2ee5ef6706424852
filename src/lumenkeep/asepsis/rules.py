"""The rules of asepsis, made ready for one step.

A rule is a table (`procedure.AsepsisRule`). For a step that it speaks of it becomes a
`Test`: rows of facts by their place in the state, so that a walk is quick.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.asepsis.act import Act, CompiledRows, Test
from lumenkeep.asepsis.state import INDEX, OF_THE_ACTOR

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lumenkeep.asepsis.procedure import AsepsisRule, Rows


def compiled_rows(rows: Rows, person: str) -> CompiledRows:
    """Return rows with each fact's place in the state; the actor's become a person's."""
    return tuple(
        tuple(
            (INDEX[f"{person}_{fact}" if fact in OF_THE_ACTOR else fact], words)
            for fact, words in row
        )
        for row in rows
    )


def tests_for(act: Act, rules: tuple[AsepsisRule, ...]) -> tuple[Test, ...]:
    """Return a test for each rule that speaks of the act."""
    return tuple(test for rule in rules for test in _tests(act, rule))


def _tests(act: Act, rule: AsepsisRule) -> Iterator[Test]:
    if not matches(act, rule):
        return
    people = [person for person in act.people if person != "near"]
    if not _speaks_of_the_actor(rule):
        people = ["operator"]
    for person in people:
        given = compiled_rows(rule.given, person)
        needs = compiled_rows(rule.needs, person)
        places = frozenset(p for row in (*given, *needs) for p, _ in row)
        yield Test(rule, person, given, needs, places)


def _speaks_of_the_actor(rule: AsepsisRule) -> bool:
    return any(
        fact in OF_THE_ACTOR for row in (*rule.given, *rule.needs) for fact, _ in row
    )


def matches(act: Act, rule: AsepsisRule) -> bool:
    """Return whether a rule speaks of an act, whatever the state."""
    step = act.step
    has = {
        "verb": {step.verb},
        "actor": {step.actor},
        "objects": set(step.objects),
        "touches": set(step.touches),
        "manner": set(step.manner),
        "takes": {"field"} if act.takes_from_field else {"nothing"},
        "opens": {"field"} if act.opens else {"nothing"},
        "short": {"yes" if act.short else "no"},
    }
    for key, words in rule.on.items():
        if key.startswith("not_"):
            if not has[key.removeprefix("not_")].isdisjoint(words):
                return False
        elif has[key].isdisjoint(words):
            return False
    return True
