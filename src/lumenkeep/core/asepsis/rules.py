"""The rules of asepsis, made ready for one step.

A rule is a table (`procedure.AsepsisRule`). For a step that it speaks of it becomes a
`Test`: rows of facts by their place in the state, so that a walk is quick.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from dataclasses import dataclass, field
from functools import cache, lru_cache
from typing import TYPE_CHECKING, NamedTuple

from lumenkeep.core.asepsis.act import Act, CompiledRows, Test
from lumenkeep.core.asepsis.procedure import AsepsisRule
from lumenkeep.core.asepsis.state import INDEX, OF_THE_ACTOR
from lumenkeep.core.asepsis.words import NOTHING_USED

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lumenkeep.core.asepsis.procedure import Step
    from lumenkeep.core.asepsis.when import Rows


def compiled_rows(rows: Rows, person: str) -> CompiledRows:
    """Return rows with each fact's place in the state; the actor's become a person's."""
    return tuple(
        tuple(
            (INDEX[f"{person}_{fact}" if fact in OF_THE_ACTOR else fact], words)
            for fact, words in row
        )
        for row in rows
    )


class Read(NamedTuple):
    """What the rules ask of an act, and what the act says."""

    tests: tuple[Test, ...]
    said: Mapping[str, frozenset[str]]


@dataclass(frozen=True, eq=False)
class ReadRules:
    """The rules of one setting, with the tests of each act that was asked about.

    Most acts of a set's many branches say the same, so that each is read once.
    """

    rules: tuple[AsepsisRule, ...]
    kept: dict[Hashable, Read] = field(default_factory=dict)

    def read(self, act: Act) -> Read:
        """Return a test for each rule that speaks of the act, and what the act says."""
        step = act.step
        key = (
            *(
                step.verb,
                step.actor,
                step.objects,
                step.touches,
                step.manner,
                step.uses,
                bool(step.look),
                step.charted,
            ),
            *(act.people, act.takes_from_field, bool(act.opens)),
            *(act.short, act.lean, act.few),
        )
        found = self.kept.get(key)
        if found is None:
            has = said_of(act)
            people = [person for person in act.people if person != "near"]
            tests = tuple(
                test
                for rule in self.rules
                if matches(has, rule.on)
                for test in _tests(rule, people)
            )
            found = self.kept[key] = Read(tests, has)
        return found


@lru_cache
def book_of(rules: tuple[AsepsisRule, ...]) -> ReadRules:
    """Return the book of some rules; the same for the same rules."""
    return ReadRules(rules)


def tests_for(act: Act, rules: tuple[AsepsisRule, ...]) -> tuple[Test, ...]:
    """Return a test for each rule that speaks of the act."""
    return book_of(rules).read(act).tests


def _tests(rule: AsepsisRule, people: list[str]) -> Iterator[Test]:
    if not _speaks_of_the_actor(rule):
        people = ["operator"]
    for person in people:
        yield _test(rule, person)


@cache
def _test(rule: AsepsisRule, person: str) -> Test:
    """Return a rule's test for a person; the same for every act, and made once."""
    given = compiled_rows(rule.given, person)
    needs = compiled_rows(rule.needs, person)
    places = frozenset(p for row in (*given, *needs) for p, _ in row)
    return Test(rule, person, given, needs, places)


@cache
def _speaks_of_the_actor(rule: AsepsisRule) -> bool:
    return any(
        fact in OF_THE_ACTOR for row in (*rule.given, *rule.needs) for fact, _ in row
    )


def said_of(act: Act) -> Mapping[str, frozenset[str]]:
    """Return what a rule may ask of an act, with the act's own words."""
    if act.said is not None:
        return act.said
    return {
        **said_of_step(act.step),
        "takes": frozenset({"field" if act.takes_from_field else "nothing"}),
        "opens": frozenset({"field" if act.opens else "nothing"}),
        "short": frozenset({"yes" if act.short else "no"}),
        "lean": frozenset({"yes" if act.lean else "no"}),
        "few": frozenset({"yes" if act.few else "no"}),
    }


def said_of_step(step: Step) -> Mapping[str, frozenset[str]]:
    """Return what a step says of itself, whatever the setting."""
    return {
        "verb": frozenset({step.verb}),
        "actor": frozenset({step.actor}),
        "objects": frozenset(step.objects),
        "touches": frozenset(step.touches),
        "manner": frozenset(step.manner),
        "look": frozenset({"yes" if step.look else "no"}),
        "charted": frozenset(step.charted),
        "uses": frozenset(item for item, _ in step.uses) or frozenset({NOTHING_USED}),
    }


class BranchActs:
    """What the acts of a branch say, found again by their verbs."""

    def __init__(self, acts: Iterable[Act]) -> None:
        self.said = [said_of(act) for act in acts]
        self._by_verb: dict[str, list[int]] = {}
        for place, has in enumerate(self.said):
            for verb in has["verb"]:
                self._by_verb.setdefault(verb, []).append(place)

    def places(self, on: Mapping[str, tuple[str, ...]]) -> list[int]:
        """Return where acts stand that are asked about, in order."""
        verbs = on.get("verb")
        among: Iterable[int] = range(len(self.said))
        if verbs is not None:
            among = sorted(p for verb in verbs for p in self._by_verb.get(verb, ()))
        return [place for place in among if matches(self.said[place], on)]


def matches(
    has: Mapping[str, frozenset[str]], on: Mapping[str, tuple[str, ...]]
) -> bool:
    """Return whether an act of these words is one that is asked about."""
    for key, words in on.items():
        if key.startswith("not_"):
            if not has[key.removeprefix("not_")].isdisjoint(words):
                return False
        elif has[key].isdisjoint(words):
            return False
    return True
