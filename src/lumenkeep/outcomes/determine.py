"""Work through all blood of one child and say what each specimen amounts to.

Nothing is guessed. Where the year's data leaves a point open, the whole timeline is
worked both ways; where the ways agree the answer stands, else it says which fact
would decide. The answer is a proposal: a person confirms it, overrides it with a
reason, or leaves it open.
"""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

from lumenkeep.outcomes.derivation import Event, Steps
from lumenkeep.outcomes.reckoning import Reckoning
from lumenkeep.outcomes.ways import ANSWERS, COMMENSAL, QUESTIONS, Ways

if TYPE_CHECKING:
    from lumenkeep.outcomes.protocol import Protocol
    from lumenkeep.outcomes.timeline import Timeline

Signature = tuple[object, ...]


def determine(timeline: Timeline, protocol: Protocol) -> tuple[Event, ...]:
    """Return what all blood specimens that grew something amount to.

    Parameters
    ----------
    timeline
        One child.
    protocol
        The year whose rules apply.

    Returns
    -------
    tuple of Event
        In order of collection; an event is followed by what joined it later.
    """
    usual = Ways(protocol)
    events = Reckoning(timeline, usual).events()
    if not usual.asked:
        return events
    others: dict[frozenset[str], tuple[Event, ...]] = {usual.yes: events}
    asked = {kind: set(names) for kind, names in usual.asked.items()}
    waiting = list(_other_ways(set(asked)))
    while waiting:
        yes = waiting.pop()
        if yes in others:
            continue
        ways = Ways(protocol, yes)
        others[yes] = Reckoning(timeline, ways).events()
        for kind, names in ways.asked.items():
            asked.setdefault(kind, set()).update(names)
        waiting += [way for way in _other_ways(set(asked)) if way not in others]
    return _agreed(events, others, asked)


def _other_ways(kinds: set[str]) -> list[frozenset[str]]:
    """Return every way to answer these kinds of question; the usual answer elsewhere."""
    fixed = frozenset({COMMENSAL} - kinds)
    return [
        fixed | frozenset(chosen)
        for size in range(len(kinds) + 1)
        for chosen in combinations(sorted(kinds), size)
    ]


def _signatures(events: tuple[Event, ...]) -> dict[str, Signature]:
    return {
        name: (
            event.type,
            event.is_clabsi,
            event.is_healthcare_associated,
            event.event_on,
            event.added_to,
            event.exclusions,
        )
        for event in events
        for name in event.specimens
    }


def _agreed(
    events: tuple[Event, ...],
    others: dict[frozenset[str], tuple[Event, ...]],
    asked: dict[str, set[str]],
) -> tuple[Event, ...]:
    told = [_signatures(other) for other in others.values()]
    return tuple(
        event
        if all(
            len({signatures.get(name) for signatures in told}) == 1
            for name in event.specimens
        )
        else _undecided(event, others, asked)
        for event in events
    )


def _undecided(
    event: Event,
    others: dict[frozenset[str], tuple[Event, ...]],
    asked: dict[str, set[str]],
) -> Event:
    """Return "none" with the facts that would decide and what each would make of it."""
    steps = Steps()
    for kind, names in sorted(asked.items()):
        rule, question = QUESTIONS[kind]
        steps.missing(rule, f"{question}{', '.join(sorted(names))}.")
    for yes, found in others.items():
        outcome = next(
            (o for o in found if set(o.specimens) & set(event.specimens)), None
        )
        if outcome is not None:
            answers = " and ".join(
                ANSWERS[kind][0 if kind in yes else 1] for kind in sorted(asked)
            )
            verdict = "CLABSI" if outcome.is_clabsi else "no CLABSI"
            steps.otherwise(
                "R22",
                f"{answers}, it would be {outcome.type}, {verdict}.",
            )
    return Event(
        event.specimens,
        "none",
        organism=event.organism,
        steps=tuple(steps.found),
    )
