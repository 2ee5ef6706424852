"""The facts that a policy's rules may speak of, and how each may be compared.

This is the whole language of a rule: a fact, one of the comparisons of its kind,
and a named number or words of a closed list.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from lumenkeep.core.entries import every_task
from lumenkeep.core.model import words
from lumenkeep.core.model.closed_facts import CLOSED_FACTS

SPAN_TESTS = ("below", "at_least", "above", "at_most")
AGE_TESTS = ("below", "at_least")
CHOICE_TESTS = ("is", "is_not")
SET_TESTS = ("includes", "includes_all", "lacks")
OWN_TASKS = {
    "dressing": "Dressing",
    "connector": "Needleless connectors",
    "set": "Administration set",
    "port-needle": "Port needle",
    "line-review": "Is the line still needed?",
    "site-check": "Look at the site",
    "line-stay": "Longest stay of the line",
}
"""Tasks that the engine of due times knows by name."""


class _Tasks(Mapping[str, str]):
    """Every task, by its word: those of the engine, and those that entries do."""

    def _all(self) -> dict[str, str]:
        return {**{task.word: task.label for task in every_task()}, **OWN_TASKS}

    def __getitem__(self, word: str) -> str:
        return self._all()[word]

    def __iter__(self) -> Iterator[str]:
        further = [word for word in self._all() if word not in OWN_TASKS]
        return iter([*OWN_TASKS, *further])

    def __len__(self) -> int:
        return len(self._all())


TASKS: Mapping[str, str] = _Tasks()


@dataclass(frozen=True, slots=True)
class FactKind:
    """One fact: its plain name, how it compares, and its words or unit family.

    Parameters
    ----------
    label
        As in "mass" or "skin at the site".
    tests
        Comparisons allowed.
    family
        Unit family of the numbers it is compared with; None for words.
    allowed
        Closed list of words; None where a set names its own (agents).
    ask
        The question that would settle it; None when nobody is asked.
    """

    label: str
    tests: tuple[str, ...]
    family: str | None = None
    allowed: Mapping[str, str] | None = None
    ask: str | None = None


FACTS: Mapping[str, FactKind] = {
    "age": FactKind("age", AGE_TESTS, "time", ask="When was the child born?"),
    "gestation_at_birth": FactKind(
        "gestation at birth",
        SPAN_TESTS,
        "gestation",
        ask="At how many weeks and days was the child born?",
    ),
    "postmenstrual_age": FactKind(
        "postmenstrual age",
        SPAN_TESTS,
        "gestation",
        ask="At how many weeks and days was the child born, and when?",
    ),
    "mass": FactKind("mass", SPAN_TESTS, "g", ask="What does the child weigh?"),
    "lumens": FactKind(
        "number of lumens", SPAN_TESTS, "count", ask="How many lumens has the line?"
    ),
    "sensitivities": FactKind(
        "sensitivities",
        SET_TESTS,
        allowed=words.SENSITIVITIES,
        ask="What does the child not tolerate? Ask the family too.",
    ),
    "findings": FactKind(
        "findings on the dressing",
        SET_TESTS,
        allowed=words.FINDINGS,
        ask="Is the dressing damp, loose, soiled, or the site bleeding?",
    ),
    **{
        fact.name: FactKind(
            fact.label, CHOICE_TESTS, allowed=fact.answers, ask=fact.ask
        )
        for fact in CLOSED_FACTS
    },
    "dressing": FactKind("dressing", CHOICE_TESTS, allowed=words.DRESSINGS),
    "set_kind": FactKind(
        "what runs through the set", CHOICE_TESTS, allowed=words.SET_KINDS
    ),
    "agent": FactKind("antiseptic", CHOICE_TESTS),
}
PLANNED_FACTS = frozenset({"agent", "dressing", "set_kind"})
"""What rules speak of that is chosen or asked about, and no fact of the child or line."""
