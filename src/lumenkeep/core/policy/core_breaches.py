"""What of the core a set does not hold, as far as no child is needed to see it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.policy.core_shape import misshapen
from lumenkeep.core.policy.kept import CoreBreach, not_kept
from lumenkeep.core.policy.loosened import openly
from lumenkeep.core.policy.sane_check import insane
from lumenkeep.core.policy.with_core import meant, own_only

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from lumenkeep.core.policy.core import Core
    from lumenkeep.core.policy.policy import Policy
    from lumenkeep.core.policy.rules import Rule


def core_breaches(policy: Policy, core: Core, day: date) -> Iterator[CoreBreach]:
    """Yield what a set does not hold of the core from a day on.

    Requirements are proved over children, elsewhere; floors are held when the set is
    read. Here: sane spans, what no single number shows, what is taken out without a
    word, and what is neither kept nor loosened.
    """
    for found in insane(policy, day):
        places = (*_places(*found.rules), ("number", found.number_where))
        yield CoreBreach(found.says, places, found.mend)
    for says, rules, mend in misshapen(policy, day):
        yield CoreBreach(says, _places(*rules), mend)
    yield from _taken_out(policy, core)
    yield from _given_up(policy)
    yield from not_kept(policy, core, day)


def _places(*rules: Rule) -> tuple[tuple[str, str], ...]:
    return tuple((rule.id, rule.where) for rule in rules)


def _taken_out(policy: Policy, core: Core) -> Iterator[CoreBreach]:
    loose = {one.id for one in policy.loosened}
    for rules in core.rules.values():
        for id_ in sorted(policy.removed & rules.keys() - loose):
            yield CoreBreach(
                f"'{id_}' is taken out, and every set is held to it.",
                ((id_, f"{policy.folder}: set.remove"), *_places(rules[id_])),
                f"take it out of 'remove'; {openly(id_)}",
            )


def _given_up(policy: Policy) -> Iterator[CoreBreach]:
    """Yield what a set extends requires of itself, and this one no longer does."""
    if policy.base is None or policy.core is None:
        return
    loose = {one.id for one in policy.loosened} | policy.core.rules["require"].keys()
    said = {rule.id: rule for rule in policy.requirements}
    for rule in own_only(policy.base.requirements):
        own = said.get(rule.id)
        if rule.id in loose or (
            own and meant(own, policy.numbers) == meant(rule, policy.base.numbers)
        ):
            continue
        gone = "says otherwise" if own else "takes out"
        yield CoreBreach(
            f"'{policy.base.id}' requires '{rule.id}' of itself; this set {gone} what it "
            f"requires: “{rule.because}”",
            (
                (rule.id, own.where if own else f"{policy.folder}: set.remove"),
                *_places(rule),
            ),
            f"keep it, and write a stricter one under another id; {openly(rule.id)}",
        )


__all__ = ["CoreBreach", "core_breaches"]
