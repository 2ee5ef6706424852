"""Which missing facts would decide an infection, and what each would make of it.

Where the tip lies and whether a line was accessed is tried both ways: only a fact that
changes the answer is asked for. A specimen without a result is asked for where its
result could pair up with a lone commensal.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta
from typing import TYPE_CHECKING

from lumenkeep.outcomes.derivation import MISSING
from lumenkeep.outcomes.determine import determine

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lumenkeep.outcomes.derivation import Event
    from lumenkeep.outcomes.protocol import Protocol
    from lumenkeep.outcomes.timeline import Moment, Timeline, TrackedLine
    from lumenkeep.services.timeline_of_chart import Awaited

TIP, ACCESS, RESULT = "line-tip", "line-access", "specimen-result"
ONE_DAY = timedelta(days=1)
TRIED = ("R2", "R4")
ONLY_THE_FORM = ("R20",)
ONLY_A_CLABSI = ("R23", "R24")


@dataclass(frozen=True, slots=True)
class Ask:
    """A fact that would decide.

    Attributes
    ----------
    ways
        What the answer would be, one sentence for each side; empty where not worked.
    charts_as
        Kind of entry that answers it; empty where a person must say.
    about
        Key of the line, or id of the specimen's entry; empty where neither.
    settles_clabsi
        Whether it decides if the infection is the line's; else only its form.
    """

    rule: str
    text: str
    ways: tuple[str, ...] = ()
    charts_as: str = ""
    about: str = ""
    settles_clabsi: bool = True


def asks_of(
    event: Event,
    timeline: Timeline,
    protocol: Protocol,
    awaited: Iterable[Awaited],
    first_draw: Moment,
) -> tuple[Ask, ...]:
    """Return the facts that would decide an event.

    Parameters
    ----------
    event
        As proposed, from ``timeline``.
    awaited
        Specimens of the child without a result.
    first_draw
        When the event's first specimen was taken.
    """
    found = [
        Ask(
            step.rule,
            step.text,
            settles_clabsi=not (event.is_event and step.rule in ONLY_THE_FORM),
        )
        for step in event.steps
        if step.kind == MISSING
        and step.rule not in TRIED
        and (event.is_clabsi or step.rule not in ONLY_A_CLABSI)
    ]
    if event.is_event:
        found += _tried(event, timeline, protocol)
    if event.type == "none":
        found += _awaited(awaited, first_draw, protocol)
    return tuple(found)


def _tried(event: Event, timeline: Timeline, protocol: Protocol) -> Iterator[Ask]:
    """Ask for the facts of a line, each tried with the others taken as they may be."""
    for line in timeline.lines:
        if not _is_near(line, event):
            continue
        used = _used(line, timeline)
        tip = replace(line, tip=line.tip or "great-vessel")
        if line.tip is None:
            ask = Ask("R2", "where the tip of its line lies.", (), TIP, line.id)
            sides = {
                "in a great vessel": replace(used, tip="great-vessel"),
                "elsewhere": replace(used, tip="elsewhere"),
            }
            yield from _both(event, timeline, protocol, ask, line, sides)
        if used is not line:
            text = "when its line was first used in this stay."
            ask = Ask("R4", text, (), ACCESS, line.id)
            sides = {
                "from the first day on": _used(tip, timeline),
                "never": replace(tip, access_is_told=True),
            }
            yield from _both(event, timeline, protocol, ask, line, sides)


def _used(line: TrackedLine, timeline: Timeline) -> TrackedLine:
    """Return the line as used from the first day; itself where its use is charted."""
    if line.access_is_told or line.inserted is None:
        return line
    earliest = min((stay.start for stay in timeline.stays), default=line.inserted)
    return replace(line, first_access=max(earliest, line.inserted))


def _is_near(line: TrackedLine, event: Event) -> bool:
    """Whether a line was in on the date of event or the day before."""
    if event.event_on is None or line.inserted is None:
        return False
    until = event.event_on if line.removed is None else line.removed.day + ONE_DAY
    return line.inserted.day <= event.event_on <= until


def _both(
    event: Event,
    timeline: Timeline,
    protocol: Protocol,
    ask: Ask,
    line: TrackedLine,
    sides: dict[str, TrackedLine],
) -> Iterator[Ask]:
    """Return the question, if its two answers make a difference."""
    outcomes: dict[str, Event | None] = {}
    for words, other in sides.items():
        lines = tuple(other if one is line else one for one in timeline.lines)
        events = determine(replace(timeline, lines=lines), protocol)
        outcomes[words] = next(
            (e for e in events if event.specimens[0] in e.specimens), None
        )
    if len({(e.type, e.is_clabsi) if e else None for e in outcomes.values()}) > 1:
        ways = (f"{words}: {verdict_in_words(e)}" for words, e in outcomes.items())
        yield replace(ask, ways=tuple(ways))


def verdict_in_words(event: Event | None) -> str:
    """Return what an event comes to, in a few words."""
    if event is None or (event.type == "none" and event.added_to is None):
        return "no bloodstream infection by the definition"
    if event.added_to is not None:
        return "part of the earlier infection"
    if event.type == "secondary":
        return "it belongs to an infection elsewhere"
    if event.is_clabsi:
        return "a central-line infection"
    if event.is_healthcare_associated:
        return "an infection of the stay, not the line's"
    return "present on admission"


def _awaited(
    awaited: Iterable[Awaited], first_draw: Moment, protocol: Protocol
) -> Iterator[Ask]:
    for one in awaited:
        if one.source != "blood":
            continue
        if abs(one.at.day - first_draw.day) <= protocol.days("pair-apart"):
            yield Ask(
                "R18",
                f"what grows in the blood of {one.at}, which has no result yet.",
                (),
                RESULT,
                str(one.entry),
            )
