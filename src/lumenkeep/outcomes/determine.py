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
    return {name: _verdict(event) for event in events for name in event.specimens}


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
    outcomes = {
        yes: next((o for o in found if set(o.specimens) & set(event.specimens)), None)
        for yes, found in others.items()
    }
    deciding = _deciding(outcomes, sorted(asked))
    for kind in deciding:
        rule, question = QUESTIONS[kind]
        steps.missing(rule, f"{question}{', '.join(sorted(asked[kind]))}.")
    told: dict[tuple[str, ...], str] = {}
    for yes, outcome in outcomes.items():
        answers = tuple(ANSWERS[kind][0 if kind in yes else 1] for kind in deciding)
        if outcome is not None:
            told.setdefault(answers, _in_words(outcome))
    for answers, words in told.items():
        steps.otherwise("R22", f"{' and '.join(answers)}, it would be {words}.")
    return Event(
        event.specimens,
        "none",
        organism=event.organism,
        steps=tuple(steps.found),
    )


def _deciding(
    outcomes: dict[frozenset[str], Event | None], kinds: list[str]
) -> list[str]:
    """Return the kinds of question whose answer alone changes what comes of it."""
    found = [
        kind
        for kind in kinds
        if any(
            kind in yes
            and yes - {kind} in outcomes
            and _verdict(outcome) != _verdict(outcomes[yes - {kind}])
            for yes, outcome in outcomes.items()
        )
    ]
    return found or kinds


def _verdict(event: Event | None) -> Signature:
    if event is None:
        return ()
    return (
        event.type,
        event.is_clabsi,
        event.is_healthcare_associated,
        event.event_on,
        event.added_to,
        event.exclusions,
    )


def _in_words(event: Event) -> str:
    if event.added_to is not None:
        return f"part of the event of {event.added_to}"
    return f"{event.type}, {'CLABSI' if event.is_clabsi else 'no CLABSI'}"
