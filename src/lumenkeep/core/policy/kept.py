"""The law "kept or named": what the shipped core states, every set keeps.

Whatever a set extends, each statement of the core stands in it under its own id and
decides the same, or something stricter; or the set names the id under [[loosened]].
How a statement is told does not count. Requirements, floors and sane spans are not
looked at here: they count whatever a set says (see `lumenkeep.core.policy.with_core`), and
so do the statements about the world (see `lumenkeep.core.policy.world`).
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass, fields
from typing import TYPE_CHECKING

from lumenkeep.core.policy.kept_numbers import CoreLimits, otherwise, turned
from lumenkeep.core.policy.kept_parts import JUDGES, NOT_JUDGED, is_same
from lumenkeep.core.policy.kept_words import noun, part_in_words
from lumenkeep.core.policy.loosened import openly
from lumenkeep.core.policy.rule_texts import filled

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping
    from datetime import date

    from lumenkeep.core.policy.core import Core
    from lumenkeep.core.policy.numbers import Number
    from lumenkeep.core.policy.policy import Policy
    from lumenkeep.core.policy.rules import Rule

MAY_BE_LEFT_OUT = frozenset(("agent",))
"""An antiseptic that a set does not hold is never used."""
FIRST_COUNTS = ("weighing",)
"""Kinds of which the first that may hold decides, so that their order counts."""


@dataclass(frozen=True, slots=True)
class CoreBreach:
    """What of the core a set does not hold, the places, and how to mend it.

    ``places`` are those of the set, where it says anything, and of the core; each with
    the id that stands there.
    """

    says: str
    places: tuple[tuple[str, str], ...]
    mend: str


def not_kept(policy: Policy, core: Core, day: date) -> Iterator[CoreBreach]:
    """Yield each statement of the core that a set neither keeps nor loosens.

    Parameters
    ----------
    day
        Of numbers every value from this day on counts.
    """
    loose = {one.id for one in policy.loosened}
    limits = CoreLimits(core, policy.numbers, day)
    for kind, stated in core.statements.items():
        said = {rule.id: rule for rule in _said(policy, kind)}
        for id_, rule in stated.items():
            own = said.get(id_)
            if id_ in loose or (own is None and kind in MAY_BE_LEFT_OUT):
                continue
            if own is None:
                yield _left_out(policy, core, kind, rule, day)
            else:
                yield from _otherwise(kind, rule, own, limits)
        if kind in FIRST_COUNTS:
            yield from _moved(kind, [*stated], [*said], loose, said)
    yield from _numbers_not_kept(policy.numbers, core.numbers, loose, day)


def _numbers_not_kept(
    numbers: Mapping[str, Number],
    stated: Mapping[str, Number],
    loose: Collection[str],
    day: date,
) -> Iterator[CoreBreach]:
    """Yield each number of the core that has another value, and not a stricter one.

    A number that is not there is not looked at: what it decided is said by the
    statements that named it.

    Parameters
    ----------
    numbers, stated
        The set's, and the core's, by id.
    loose
        Ids of what the set loosens.
    day
        Every value from this day on counts.
    """
    for id_, number in stated.items():
        own = numbers.get(id_)
        if own is None or id_ in loose or "." in id_:
            continue
        found = otherwise(number, own, day, number.stricter)
        if found is not None:
            places = ((id_, own.where), (id_, number.where))
            yield _breach(id_, turned(number, found), places)


def _said(policy: Policy, kind: str) -> tuple[Rule, ...]:
    rules = policy.agents.values() if kind == "agent" else policy.of_kind(kind)
    return tuple(policy.written.get(rule.id, rule) for rule in rules)


def _left_out(
    policy: Policy, core: Core, kind: str, rule: Rule, day: date
) -> CoreBreach:
    is_out = rule.id in policy.removed
    where = f"{policy.folder}: set.remove" if is_out else policy.folder
    told = filled(rule, core.numbers, day)
    about = getattr(told, "label", None) or told.because
    gone = "is taken out" if is_out else "is left out"
    return _breach(
        rule.id,
        f"The {noun(kind)} '{rule.id}' {gone}: “{about}”",
        ((rule.id, where), (rule.id, rule.where)),
    )


def _otherwise(
    kind: str, rule: Rule, own: Rule, limits: CoreLimits
) -> Iterator[CoreBreach]:
    parts = []
    for one in fields(rule):
        if one.name in NOT_JUDGED and (kind, one.name) not in JUDGES:
            continue
        was, now = getattr(rule, one.name), getattr(own, one.name)
        judge = JUDGES.get((kind, one.name), is_same)
        if not judge(was, now, limits):
            parts.append(part_in_words(one.name, was, now, limits))
    if parts:
        yield _breach(
            rule.id,
            f"The {noun(kind)} '{rule.id}' is said otherwise: {'; '.join(parts)}.",
            ((own.id, own.where), (rule.id, rule.where)),
        )


def _moved(
    kind: str,
    stated: list[str],
    said: list[str],
    loose: Collection[str],
    rules: Mapping[str, Rule],
) -> Iterator[CoreBreach]:
    """Yield what stands after something that the core says later."""
    order = [id_ for id_ in stated if id_ in said and id_ not in loose]
    for first, then in itertools.pairwise(order):
        if said.index(first) > said.index(then):
            yield _breach(
                first,
                f"The {noun(kind)} '{first}' stands after '{then}', which now decides "
                "before it.",
                ((first, rules[first].where), (then, rules[then].where)),
            )


def _breach(id_: str, says: str, places: tuple[tuple[str, str], ...]) -> CoreBreach:
    return CoreBreach(says, places, f"put it back as published; {openly(id_)}")
