"""What a set does not hold of the core that no single number shows.

Agents without a strength, people without their part, directions nobody watches, facts that nobody sees by looking, tasks due of themselves,
a kit's film that fits nobody, times in the wrong order.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.core.model.quantities import whole_or_not
from lumenkeep.core.policy.numbers import size_of

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from lumenkeep.core.policy.child_rules import FilmSize
    from lumenkeep.core.policy.policy import Policy
    from lumenkeep.core.policy.rules import Rule

Found = tuple[str, tuple["Rule", ...], str]
SEEN_AT_THE_SITE = frozenset(("findings", "skin_at_site"))
"""Facts that a look at the bared site settles."""
DIRECTIONS = frozenset(("outward", "inward"))
FILM = "film"
PARTS = ("operator", "assistant")
FOUND = frozenset(("includes", "includes_all"))
"""Comparisons by which something was found."""
EXCHANGE = "exchange the two, or correct one of them"


def misshapen(policy: Policy, day: date) -> Iterator[Found]:
    """Yield what is wrong, the rules, and how to mend it."""
    yield from _agents(policy)
    yield from _people(policy)
    watched = {limit.direction for limit in policy.length_limits}
    for direction in sorted(DIRECTIONS - watched):
        if "either" not in watched:
            yield (
                f"No change of length {direction} raises a concern.",
                policy.length_limits,
                'add a [[length_limit]] with direction = "either"',
            )
    for rule in policy.exclusions:
        unseen = {c.fact for row in rule.when for c in row} - SEEN_AT_THE_SITE
        if rule.if_unknown == "look" and unseen:
            facts = ", ".join(sorted(unseen)).replace("_", " ")
            yield (
                f"'{rule.id}' waits for a look; nobody sees {facts} by looking.",
                (rule,),
                'write if_unknown = "ask"',
            )
    yield from _due_of_itself(policy)
    yield from _kit(policy, day)
    yield from _in_order(policy, day)


def _due_of_itself(policy: Policy) -> Iterator[Found]:
    """Yield what makes a task due though nothing was found."""
    for rule in policy.at_once:
        found = [any(c.test in FOUND for c in row) for row in rule.when]
        if not all(found) or not found:
            yield (
                f"'{rule.id}' makes a task due at once whatever is found.",
                (rule,),
                "let every row of 'when' name a finding, or write an [[interval]]",
            )


def _agents(policy: Policy) -> Iterator[Found]:
    for agent in policy.agents.values():
        if "chlorhexidine" in agent.contains and agent.strength is None:
            yield (
                f"'{agent.id}' does not say how strong it is.",
                (agent,),
                "name its strength, in percent",
            )


def _people(policy: Policy) -> Iterator[Found]:
    for rule in policy.staffing:
        lost = [part for part in PARTS if part not in {r.id for r in rule.roles}]
        if lost:
            yield (
                f"'{rule.id}' leaves nothing to do for the {' and the '.join(lost)}.",
                (rule,),
                "add the role under roles, with what falls to it",
            )


def _kit(policy: Policy, day: date) -> Iterator[Found]:
    """Yield each film of the kit that is no child's size, on any day to come."""
    films = {s.item for s in policy.supplies if s.size_of == FILM}
    sizes = {size for film in policy.films for size in _sizes(policy, film, day)}
    for row in policy.kit:
        if row.item in films and row.size is not None and row.size not in sizes:
            known = ", ".join(sorted(sizes))
            yield (
                f"The kit's {row.item}, {row.size}, fits no child; films are {known}.",
                (row, *policy.films),
                "write the size of the film that lies in it, as the film rules have it",
            )


def _sizes(policy: Policy, film: FilmSize, day: date) -> Iterator[str]:
    """Yield the sizes of a film from a day on, in words as they are laid out."""
    sides = [policy.numbers[film.width], policy.numbers[film.height]]
    starts = {v.start for side in sides for v in side.values if v.start > day}
    for at in (day, *sorted(starts)):
        here = [side.on(at) for side in sides]
        if all(here):
            wide, high = (whole_or_not(size_of(one.value)) for one in here if one)
            yield f"{wide} × {high} mm"


def _in_order(policy: Policy, day: date) -> Iterator[Found]:
    """Yield pairs of numbers of which the lower is the higher, on a day to come."""
    pairs: list[tuple[str | None, str | None, str, tuple[Rule, ...]]] = [
        ("press-least", "press-most", "'press-least' is more than 'press-most'.", ())
    ]
    for film in policy.films:
        of = f"'{film.id}'"
        pairs.append(
            (
                film.area_low,
                film.area_high,
                f"{of} asks for more skin at the least than at the most.",
                (film,),
            )
        )
        pairs += [
            (
                side,
                film.area_high,
                f"{of} is larger than the skin that is cleaned for it.",
                (film,),
            )
            for side in (film.width, film.height)
        ]
    pairs += [
        (
            rule.asks_after,
            rule.counts_for,
            f"By '{rule.id}' a new weighing is asked for when the old one has lapsed.",
            (rule,),
        )
        for rule in policy.weighings
    ]
    pairs += [
        (
            rule.act_within,
            rule.settle_within,
            f"“{rule.label}” must be settled before anybody need act on it.",
            (rule,),
        )
        for rule in policy.concerns
    ]
    for low, high, says, rules in pairs:
        if _turned(policy, low, high, day):
            yield says, rules, EXCHANGE


def _turned(policy: Policy, low: str | None, high: str | None, day: date) -> bool:
    less, more = policy.numbers.get(low or ""), policy.numbers.get(high or "")
    if less is None or more is None:
        return False
    starts = {v.start for v in (*less.values, *more.values) if v.start > day}
    days = [(less.on(at), more.on(at)) for at in (day, *sorted(starts))]
    return any(
        one and two and size_of(one.value) > size_of(two.value) for one, two in days
    )
