"""The facts that a policy's rules may speak of, and how each may be compared.

This is the whole language of a rule: a fact, one of the comparisons of its kind,
and a named number or words of a closed list.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from lumenkeep.core.entries import Task, every_task
from lumenkeep.core.model import words
from lumenkeep.core.model.closed_facts import CLOSED_FACTS

SPAN_TESTS = ("below", "at_least", "above", "at_most")
AGE_TESTS = ("below", "at_least")
CHOICE_TESTS = ("is", "is_not")
SET_TESTS = ("includes", "includes_all", "lacks")
_WITHOUT_ENTRY = (
    Task("dressing", "Dressing", "line.dressing.applied", "the dressing is due"),
    Task("set", "Administration set", "line.sets", "the administration set is due"),
    Task("port-needle", "Port needle", "line.needle_changed", "the port needle is due"),
    Task(
        "line-stay", "Longest stay of the line", "line.inserted", "the line comes out"
    ),
)
"""Tasks of which entries of several kinds, or none, say when they were last done."""
OWN_TASKS = (
    "dressing",
    "connector",
    "set",
    "port-needle",
    "line-review",
    "site-check",
    "line-stay",
)
"""Tasks that the engine of due times knows by name, in the order in which they stand."""


def tasks() -> dict[str, Task]:
    """Return every task by its word: those of the engine, then those that entries do."""
    known = {task.word: task for task in (*_WITHOUT_ENTRY, *every_task())}
    return {word: known[word] for word in dict.fromkeys((*OWN_TASKS, *known))}


class _Labels(Mapping[str, str]):
    """What every task is called, by its word, whatever kinds of entry there are."""

    def __getitem__(self, word: str) -> str:
        return tasks()[word].label

    def __iter__(self) -> Iterator[str]:
        return iter(tasks())

    def __len__(self) -> int:
        return len(tasks())


TASKS: Mapping[str, str] = _Labels()


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
