"""What of the core a set does not hold, as far as no child is needed to see it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.policy.core_shape import misshapen
from lumenkeep.policy.sane_check import insane

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from lumenkeep.policy.core import Core
    from lumenkeep.policy.policy import Policy
    from lumenkeep.policy.rules import Rule
    from lumenkeep.policy.watch_rules import ConcernRule


@dataclass(frozen=True, slots=True)
class CoreBreach:
    """What is wrong, the rules with their places, and how to mend it."""

    says: str
    places: tuple[tuple[str, str], ...]
    mend: str


def core_breaches(policy: Policy, core: Core, day: date) -> Iterator[CoreBreach]:
    """Yield what a set does not hold of the core from a day on.

    Requirements are proved over children, elsewhere; floors are held when the set is
    read. Here: sane spans, what is taken out without a word, and concerns.
    """
    for found in insane(policy, day):
        places = (*_places(*found.rules), ("number", found.number_where))
        yield CoreBreach(found.says, places, found.mend)
    for says, rules, mend in misshapen(policy, core, day):
        yield CoreBreach(says, _places(*rules), mend)
    loose = {one.id for one in policy.loosened}
    yield from _taken_out(policy, core, loose)
    for id_, concern in core.concerns.items():
        if id_ not in loose:
            yield from _concern(policy, concern)


def _places(*rules: Rule) -> tuple[tuple[str, str], ...]:
    return tuple((rule.id, rule.where) for rule in rules)


def _taken_out(policy: Policy, core: Core, loose: set[str]) -> Iterator[CoreBreach]:
    for rules in core.rules.values():
        for id_ in sorted(policy.removed & rules.keys() - loose):
            yield CoreBreach(
                f"'{id_}' is taken out, and every set is held to it.",
                ((id_, f"{policy.folder}: set.remove"), *_places(rules[id_])),
                f"take it out of 'remove'; whoever means it names '{id_}' under "
                "[[loosened]], with reason and source",
            )


def _concern(policy: Policy, core: ConcernRule) -> Iterator[CoreBreach]:
    """Yield where a concern of the core is gone, narrower, or lets the line be used."""
    own = next((c for c in policy.concerns if c.id == core.id), None)
    mend = (
        "put it back as published; whoever means it names "
        f"'{core.id}' under [[loosened]], with reason and source"
    )
    if own is None:
        said = {sign for c in policy.concerns for sign in c.signs}
        if core.hold or set(core.signs) - said:
            places = ((core.id, policy.folder), *_places(core))
            yield CoreBreach(
                f"Nobody is called for “{core.label}”: the set has no such concern.",
                places,
                mend,
            )
        return
    places = _places(own, core)
    if core.hold and not own.hold:
        yield CoreBreach(
            f"“{own.label}” no longer says that the line is not used.", places, mend
        )
    lost = sorted(set(core.signs) - {s for c in policy.concerns for s in c.signs})
    if lost:
        yield CoreBreach(
            f"Nobody is called any more for these signs: {', '.join(lost)}.",
            places,
            mend,
        )
    if own.when and _words(own) != _words(core):
        yield CoreBreach(
            f"“{own.label}” arises for some children or lines only.", places, mend
        )


def _words(rule: ConcernRule) -> object:
    return tuple(tuple((c.fact, c.test, c.words) for c in row) for row in rule.when)


__all__ = ["CoreBreach", "core_breaches"]
