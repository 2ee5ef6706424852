"""Words of a setting that no step and no rule tells apart, so that one stands for all.

A procedure's file names the words by which its branches are shown. A child may be cared
for elsewhere, or have its line at another site: every word that child and line can have
is walked, once for each class of words that are treated alike.
"""

from __future__ import annotations

from itertools import product
from typing import TYPE_CHECKING

from lumenkeep.core.asepsis.branch import SMALLEST
from lumenkeep.core.asepsis.words import COUNTED
from lumenkeep.core.model.words import DRESSINGS, SITES, UNITS

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator

    from lumenkeep.core.asepsis.head import ProcedureHead
    from lumenkeep.core.asepsis.procedure import (
        AsepsisRule,
        Bedside,
        Needed,
        Procedure,
        SafeEnding,
        Step,
    )
    from lumenkeep.core.asepsis.when import Condition, When
    from lumenkeep.core.policy import Policy

Words = dict[str, tuple[str, ...]]
PROCEDURE = "procedure"
UNKNOWN = ""
"""Stands in a class for a fact that nobody knows."""
CHARTED_FACTS = ("site", "unit", "worn", "lumens")
"""Facts of a setting that the chart knows, whatever words a procedure names."""


def alike(
    procedure: Procedure,
    bedside: Bedside,
    policy: Policy,
    fact: str,
    *,
    always: bool = False,
) -> list[tuple[str, ...]]:
    """Return the classes of words of a fact that are done alike, unknown among them.

    A fact that the procedure varies takes one of its words where it is unknown, so that
    each class holds the unknown; where it does not, the unknown is a class of its own.
    None where nothing speaks of the fact; ``always`` where it is walked all the same.
    """
    given = dict(procedure.vary).get(fact, ())
    counted = fact in COUNTED and (
        always or (procedure.repeat is not None and procedure.repeat.each == fact)
    )
    told = list(_told(procedure.steps, fact))
    if not (given or told or counted or always):
        return []
    told += [*_told(bedside.checks, fact), *_told_of_times(policy, fact)]
    found: dict[tuple[object, ...], list[str]] = {}
    for word in dict.fromkeys((*given, *_every(policy, fact))):
        which = tuple(word in words for words in told)
        found.setdefault((which, word) if counted else which, []).append(word)
    if given:
        return [(*words, UNKNOWN) for words in found.values()]
    return [*(tuple(words) for words in found.values()), (UNKNOWN,)]


def when_procedure(when: When, kinds: Collection[str]) -> bool:
    """Return whether conditions may hold for a procedure, by what it is alone."""
    return not when or any(_is_of(row, kinds) for row in when)


def beside_procedure(when: When, kinds: Collection[str]) -> When:
    """Return on what conditions hang beside the procedure; nothing where on nothing."""
    rows = [
        tuple(c for c in row if c.fact != PROCEDURE)
        for row in when
        if _is_of(row, kinds)
    ]
    return () if () in rows else tuple(rows)


def _is_of(row: Iterable[Condition], kinds: Collection[str]) -> bool:
    return all(
        any(kind in c.words for kind in kinds) is c.wanted
        for c in row
        if c.fact == PROCEDURE
    )


def every_setting(
    vary: dict[str, list[tuple[str, ...]]],
) -> Iterator[tuple[Words, Words]]:
    """Yield each choice of one class a fact: the word that stands for it, and the class.

    What is unknown is left out of the words.
    """
    for chosen in product(*vary.values()):
        classes = dict(zip(vary, chosen, strict=True))
        yield {f: c[:1] for f, c in classes.items() if c[0] != UNKNOWN}, classes


def _every(policy: Policy, fact: str) -> Iterable[str]:
    if fact == "lumens":
        low, high = policy.bounds["lumens"].counts
        return [str(count) for count in range(low, high + 1)]
    return {"site": SITES, "unit": UNITS, "worn": DRESSINGS}.get(fact, ())


def _told(
    written: Iterable[Step | AsepsisRule | SafeEnding | Needed | ProcedureHead],
    fact: str,
) -> Iterator[frozenset[str]]:
    """Yield each group of a fact's words that conditions speak of."""
    for row in (row for one in written for row in one.when):
        yield from (c.words for c in row if c.fact == fact)


def _told_of_times(policy: Policy, fact: str) -> Iterator[frozenset[str]]:
    """Yield the words on which the least times and the pooling of antiseptic hang."""
    if fact == "unit":
        yield frozenset({SMALLEST})
    if fact == "site":
        for row in (row for rule in policy.site_rules for row in rule.when):
            yield from (frozenset(c.words) for c in row if c.fact == fact)
