"""Say openly what a set loosens, and what it says otherwise than others do."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from lumenkeep.core.comparing.over import added_by, built_like, said_anew
from lumenkeep.core.policy.files import world_bounds
from lumenkeep.core.policy.numbers import value_in_words
from lumenkeep.core.policy.procedure_ids import ids_of_procedures
from lumenkeep.core.rehearsal import procedure_files
from lumenkeep.errors import PolicyError
from lumenkeep.text.policy.over import (
    added_in_words,
    anew_in_words,
    departures_in_words,
)

if TYPE_CHECKING:
    from datetime import date

    from lumenkeep.core.policy import Policy
    from lumenkeep.core.policy.bounds import Bound


def restated_in_words(policy: Policy, day: date) -> tuple[str, ...]:
    """Return the sentences that a proof and a reading begin with.

    First what the set, or one it extends, loosens of what every set is held to; then
    its own bounds of the world; then how it departs from a shipped set that it is a
    changed copy of; then what it takes out of the sets that it extends, says anew over
    them and adds to them; last the steps that it does in another order than published.

    Parameters
    ----------
    day
        Whose numbers count.
    """
    return (*weaker_in_words(policy), *_over_others(policy, day), *_moved(policy))


def rehearsed_in_words(policy: Policy) -> tuple[str, ...]:
    """Return the sentences that a rehearsal begins with: of procedures only.

    What the set loosens of them, and the steps that it does in another order.
    """
    core = policy.core.procedures if policy.core else None
    of_procedures = ids_of_procedures(core.procedures) if core else frozenset()
    return (*_loosened(policy, of_procedures), *_moved(policy))


@lru_cache(maxsize=16)
def _over_others(policy: Policy, day: date) -> tuple[str, ...]:
    try:
        like = built_like(policy, day)
        return (
            *(departures_in_words(like, day) if like else ()),
            *_taken_out(policy),
            *(anew_in_words(over, day) for over in said_anew(policy, day)),
            *(added_in_words(over, day) for over in added_by(policy, day)),
        )
    except PolicyError:
        # What is wrong with the procedures is told by whoever reads them.
        return tuple(_taken_out(policy))


def weaker_in_words(policy: Policy) -> tuple[str, ...]:
    """Return what the set loosens, and its own bounds of the world, a sentence each."""
    return (*_loosened(policy), *_bounds(policy))


def _loosened(policy: Policy, among: frozenset[str] | None = None) -> list[str]:
    return [
        f"Loosened, of what this set is held to: {one.id}. "
        f"{one.because.rstrip('.')}. ({policy.sources[one.source].title})"
        for one in policy.loosened
        if among is None or one.id in among
    ]


def _bounds(policy: Policy) -> list[str]:
    world = world_bounds()
    return [
        f"Not the world's bound: {bound.id} is {span_in_words(bound)} here, "
        f"{span_in_words(world[bound.id])} elsewhere. {bound.because} "
        f"({policy.sources[bound.source].title})"
        for bound in policy.restated
    ]


def _taken_out(policy: Policy) -> list[str]:
    named = {one.id for one in policy.loosened}
    out = sorted(policy.removed - named)
    return [f"Taken out of what it extends: {', '.join(out)}."] if out else []


def _moved(policy: Policy) -> list[str]:
    try:
        return [f"Said anew: {one}." for one in procedure_files.said_anew(policy)]
    except PolicyError:  # a set whose procedures cannot be read says so elsewhere
        return []


def span_in_words(bound: Bound) -> str:
    """Return the least and the greatest of a bound, as in "0 mm to 600 mm"."""
    low, high = (value_in_words(end, bound.unit) for end in bound.span)
    return f"{low} to {high}"
