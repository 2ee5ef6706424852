"""Reasons for which an event stays an event but is not counted as CLABSI."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes import questions
from lumenkeep.core.outcomes.derivation import EvidenceSaid

if TYPE_CHECKING:
    from lumenkeep.core.outcomes.admissions import Admission
    from lumenkeep.core.outcomes.blood import Draw
    from lumenkeep.core.outcomes.derivation import Steps
    from lumenkeep.core.outcomes.one_run import RunWays
    from lumenkeep.core.outcomes.protocol import Protocol
    from lumenkeep.core.outcomes.timeline import Noted, Timeline

ONE_DAY = timedelta(days=1)
GROUP_B = "group-b-streptococcus"


def exclusions_of(
    timeline: Timeline,
    admission: Admission,
    event_on: date,
    window: tuple[date, date],
    draws: tuple[Draw, ...],
    ways: RunWays,
    steps: Steps,
) -> tuple[str, ...]:
    """Return the ids of all exclusions that apply to an event, and say why."""
    found = [
        *_devices(timeline, event_on, ways.protocol, steps),
        *_noted(timeline, window, draws, ways, steps),
        *_conditions(timeline, admission, ways.protocol, steps),
        *_early_group_b(event_on, draws, ways, steps),
    ]
    return tuple(dict.fromkeys(found))


def _devices(
    timeline: Timeline, event_on: date, protocol: Protocol, steps: Steps
) -> list[str]:
    found = []
    limit = protocol.count("device-days-more-than")
    for device in timeline.devices:
        last = event_on if device.end is None else min(device.end.day, event_on)
        days = (last - device.start.day).days + 1
        if days < 1 or last < event_on - protocol.days("device-out-before"):
            continue
        words = f"{device.kind} was in for {days} days on the date of event"
        if days > limit:
            steps.because(
                "R23",
                f"{words}, more than {limit}.",
                EvidenceSaid(str(device.start), device.entries),
            )
            found.append(device.kind)
        else:
            steps.because(
                "R23",
                f"{words}, not more than {limit}.",
                EvidenceSaid(str(device.start), device.entries),
            )
    return found


def _noted(
    timeline: Timeline,
    window: tuple[date, date],
    draws: tuple[Draw, ...],
    ways: RunWays,
    steps: Steps,
) -> list[str]:
    found = []
    for noted in timeline.noted:
        is_inside = window[0] <= noted.at.day <= window[1]
        words = "inside" if is_inside else "outside"
        span = f"{words} the window {window[0]} to {window[1]}"
        told = EvidenceSaid(str(noted.at), noted.entries)
        if noted.kind == "self-injection":
            steps.because("R23", f"Self-injection was noted {span}.", told)
            if is_inside:
                found.append("self-injection")
        elif not _is_elsewhere(noted, ways):
            steps.because(
                "R23",
                f"Pus at {noted.vascular_site or 'the line itself'} is no exclusion.",
                told,
            )
        elif is_inside and _grew_the_same(noted, draws, ways):
            steps.because(
                "R23",
                f"Pus at another vascular site ({noted.vascular_site}) {span} grew a "
                "matching organism.",
                told,
            )
            found.append("pus-at-another-site")
    return found


def _is_elsewhere(noted: Noted, ways: RunWays) -> bool:
    """Whether pus was at a vascular site other than the line's own."""
    if noted.vascular_site is None:
        return bool(ways.choose(questions.site_of_pus(noted)))
    return noted.vascular_site in ways.protocol.words["other_vascular_sites"]


def _grew_the_same(noted: Noted, draws: tuple[Draw, ...], ways: RunWays) -> bool:
    if not noted.organisms_are_told:
        return bool(ways.choose(questions.grew_in_pus(noted)))
    return any(
        ways.same(ways.taxon(text), taxon)
        for text in noted.organisms
        for draw in draws
        for taxon in draw.taxa
    )


def _conditions(
    timeline: Timeline, admission: Admission, protocol: Protocol, steps: Steps
) -> list[str]:
    found = []
    for condition in timeline.conditions:
        if admission.holds(condition.on, beyond=protocol.days("after-discharge")):
            steps.because(
                "R23",
                f"{condition.kind} was documented in the stay.",
                EvidenceSaid(str(condition.on), condition.entries),
            )
            found.append(condition.kind)
        else:
            steps.missing(
                "R23",
                f"whether {condition.kind} was documented in this stay too; "
                f"the note of {condition.on} lies outside it.",
            )
    return found


def _early_group_b(
    event_on: date,
    draws: tuple[Draw, ...],
    ways: RunWays,
    steps: Steps,
) -> list[str]:
    grew = any(ways.on(GROUP_B, taxon) for draw in draws for taxon in draw.taxa)
    if not grew:
        return []
    last = ways.protocol.count("group-b-days-of-life")
    since = event_on - (last - 1) * ONE_DAY
    if not ways.is_born_since(since, "R24", "group B streptococcus was grown"):
        return []
    steps.because(
        "R24",
        f"Group B streptococcus, and the child was born on {since} or later: in its "
        f"first {last} days of life.",
    )
    return [GROUP_B]
