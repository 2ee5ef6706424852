"""Prove a policy for the day asked about, and for every later day on which it changes."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from lumenkeep.policy.prove import Part
from lumenkeep.services.prove_policy import Proof, prove_policy

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from datetime import date
    from typing import Any

    from lumenkeep.model import Case
    from lumenkeep.policy import Policy


def days_to_prove(policy: Policy, day: date) -> tuple[date, ...]:
    """Return ``day``, and each later day from which some number is another.

    Examples
    --------
    >>> from datetime import date
    >>> from lumenkeep.policy import load_policy
    >>> days_to_prove(load_policy("quillmere"), date(2026, 11, 25))
    (datetime.date(2026, 11, 25),)
    """
    starts = {v.start for n in policy.numbers.values() for v in n.values}
    return (day, *sorted(start for start in starts if start > day))


def prove_every_day(
    policy: Policy,
    day: date,
    read_case: Callable[[Mapping[str, Any]], Case],
    tell: Callable[[Part], None] | None = None,
) -> Proof:
    """Return one proof over all days from ``day`` on.

    A property holds if it holds on each day; what broke on a later day says so.

    Parameters
    ----------
    day
        The first day.
    read_case
        Reads a case from its mapping.
    tell
        Called with each property as soon as it is decided for a day.
    """
    days = days_to_prove(policy, day)
    proofs = [prove_policy(policy, one, read_case, tell) for one in days]
    parts = []
    for same in zip(*(proof.parts for proof in proofs), strict=True):
        breaches = [
            breach if one == day else replace(breach, says=f"From {one}: {breach.says}")
            for one, part in zip(days, same, strict=True)
            for breach in part.breaches
        ]
        parts.append(
            Part(
                same[0].name,
                sum(part.claims for part in same),
                sum(part.seconds for part in same),
                tuple(breaches),
            )
        )
    return replace(proofs[0], parts=tuple(parts))
