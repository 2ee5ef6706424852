"""A second determination: plain, slow, day by day, from the published rules alone.

It was written without reading the engine, to be laid beside it. It reads the timeline
as JSON values and answers for each blood specimen that grew something. Numbers stand
in the code here on purpose: they are the sheet's, not the protocol data's.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import Any

from tests.fakes.blood_by_hand import Blood, are_a_pair, bloods
from tests.fakes.organisms_by_hand import (
    FROM_THE_GUT,
    FROM_THE_MOUTH,
    GROUP_B,
    NEVER,
    YEASTS,
    organism,
    share,
)
from tests.fakes.stays_by_hand import (
    Admission,
    Days,
    admission_on,
    admissions,
    birthday,
    day_of,
    device_day,
    is_within,
    later,
    line_day,
    location,
)

OTHER_SITES = {
    "peripheral-cannula", "arterial-catheter", "midline", "fistula-or-graft",
    "atrial-line", "balloon-pump", "reliable-outflow-device", "unaccessed-line",
}  # fmt: skip


@dataclass
class Event:
    """A primary bloodstream infection."""

    first: Blood
    of: list[Blood]
    type: str
    window: Days
    event: date
    answer: dict[str, Any] = field(default_factory=dict)

    @property
    def repeat(self) -> Days:
        """Return the 14 days, date of event included (R12)."""
        return self.event, later(self.event, 13)


def around(on: date) -> Days:
    """Return the infection window (R10)."""
    return later(on, -3), later(on, 3)


def signs_in(timeline: dict[str, Any], window: Days, criterion: int) -> list[date]:
    """Return the days inside the window with a sign of criterion 2 or 3 (R16, R17)."""
    found = []
    for one in timeline.get("signs", []):
        kind, celsius = one["kind"], one.get("celsius")
        is_fever = kind == "temperature" and celsius > 38.0
        if criterion == 2:
            is_sign = is_fever or kind in ("chills", "hypotension")
        else:
            is_cold = kind == "temperature" and celsius < 36.0
            is_sign = is_fever or is_cold or kind in ("apnoea", "bradycardia")
        if is_sign and is_within(day_of(one["at"]), window):
            found.append(day_of(one["at"]))
    return sorted(found)


def criterion_of(timeline: dict[str, Any], first: Blood) -> tuple[int, date] | None:
    """Return criterion 2 or 3 and the date of event of a pair, if one is met (R11)."""
    window = around(first.on)
    for criterion in (2, 3):
        days = [*signs_in(timeline, window, criterion), first.on]
        event = min(days)
        old = event > birthday(day_of(timeline["child"]["born"]), 1)
        if len(days) > 1 and not (criterion == 3 and old):
            return criterion, event
    return None


def attribution(timeline: dict[str, Any], other: dict[str, Any]) -> Days:
    """Return the days in which blood may belong to another infection (R13)."""
    event = day_of(other["date_of_event"])
    if other["kind"] == "ssi":
        return later(event, -3), later(event, 13)
    last = later(event, 13)
    if other["kind"] == "endocarditis":
        stay = admission_on(timeline, event)
        last = last if stay is None else stay.last
    return day_of(other["window"][0]), last


def is_secondary(timeline: dict[str, Any], blood: Blood, pair: list[Blood]) -> bool:
    """Whether the blood belongs to an infection elsewhere (R21)."""
    usable = blood.grew - NEVER
    for other in timeline.get("other_infections", []):
        grew = usable - YEASTS if other["kind"] == "uti" else usable
        inside = is_within(blood.on, attribution(timeline, other))
        window = (day_of(other["window"][0]), day_of(other["window"][1]))
        named = set(map(organism, other["organisms"]))
        is_match = share(grew, named)
        is_element = other["blood_is_element"] and is_within(blood.on, window)
        allowed = other["kind"] == "nec" and (blood.has_pathogen or bool(pair))
        if inside and (is_match or allowed):
            return True
        if is_element and grew and (is_match or not named):
            return True
    return False


def is_barrier(timeline: dict[str, Any], event: Event) -> bool:
    """Whether a laboratory-confirmed event has its mucosal-barrier form (R20)."""
    if event.type == "LCBI-1":
        fit = [
            one
            for one in event.of
            if one.grew & FROM_THE_GUT and one.grew <= FROM_THE_GUT | FROM_THE_MOUTH
        ]
    else:
        fit = [one for one in event.of if one.grew <= FROM_THE_MOUTH]
        fit = fit if len(fit) > 1 else []
    return any(
        is_neutropenic(timeline, one.on) or is_grafted(timeline, one.on)
        for one in fit[:1]
    )


def is_neutropenic(timeline: dict[str, Any], on: date) -> bool:
    """Whether two days about the collection have a count below 500."""
    low = {
        day_of(one["at"]) for one in timeline.get("counts", []) if one["per_mm3"] < 500
    }
    return sum(is_within(day, around(on)) for day in low) >= 2


def is_grafted(timeline: dict[str, Any], on: date) -> bool:
    """Whether the gut of a child with a graft of the past year suffers."""
    grafts = [
        day_of(one["on"])
        for one in timeline["child"].get("transplants", [])
        if one["kind"] == "allogeneic"
    ]
    stay = admission_on(timeline, on)
    if stay is None or not any(g <= on <= birthday(g, 1) for g in grafts):
        return False
    for one in timeline.get("gut", []):
        at = day_of(one["at"])
        if not stay.first <= at <= stay.last:
            continue
        if one["kind"] == "gvhd" and one["grade"] >= 3:
            return True
        if one["kind"] == "stool":
            is_much = one["ml_24h"] >= min(1000, 20 * one["mass_kg"])
            if is_much and 0 <= (on - at).days <= 7:
                return True
    return False


def exclusions(timeline: dict[str, Any], event: Event, stay: Admission) -> set[str]:
    """Return what keeps an event from counting (R23, R24)."""
    found = set()
    for device in timeline.get("devices", []):
        days = (
            device_day(device, event.event),
            device_day(device, later(event.event, -1)),
        )
        if max(days) > 2:
            found.add(device["kind"])
    for one in timeline["child"].get("conditions", []):
        if stay.first <= day_of(one["on"]) <= stay.last:
            found.add(one["kind"])
    grew = set().union(*(each.grew for each in event.of))
    day_of_life = (event.event - day_of(timeline["child"]["born"])).days + 1
    if GROUP_B in grew and day_of_life <= 6:
        found.add("group-b-streptococcus")
    return found | findings(timeline, event, grew)


def findings(timeline: dict[str, Any], event: Event, grew: set[str]) -> set[str]:
    """Return which findings inside the window keep an event from counting (R23)."""
    found = set()
    for one in timeline.get("findings", []):
        if not is_within(day_of(one["at"]), event.window):
            continue
        if one["kind"] == "self-injection":
            found.add("self-injection")
        elif one["vascular_site"] in OTHER_SITES and share(
            grew, set(map(organism, one["organisms"]))
        ):
            found.add("pus-at-another-site")
    return found


def describe(timeline: dict[str, Any], event: Event) -> dict[str, Any]:
    """Return what an event of its own amounts to."""
    stay = admission_on(timeline, event.event)
    answer = nothing() | {
        "type": event.type,
        "date_of_event": event.event,
        "infection_window": event.window,
        "repeat_timeframe": event.repeat,
    }
    if stay is not None:
        here = line_day(timeline, stay, event.event)
        before = line_day(timeline, stay, later(event.event, -1))
        is_hai = event.event >= later(stay.first, 2)
        is_eligible = is_hai and max(here, before) >= 3
        out = exclusions(timeline, event, stay) if is_hai else set()
        answer |= {
            "healthcare_associated": is_hai,
            "line_day": here or None,
            "location": location(stay, event.event) if is_hai else None,
            "exclusions": out,
            "clabsi": is_eligible and not out,
        }
    if is_barrier(timeline, event):
        answer["type"] = f"MBI-{event.type}"
    return answer


def nothing(window: Days | None = None) -> dict[str, Any]:
    """Return the answer for blood that makes no event of its own."""
    return {
        "type": "none",
        "clabsi": False,
        "healthcare_associated": False,
        "date_of_event": None,
        "infection_window": window,
        "repeat_timeframe": None,
        "added_to": None,
        "line_day": None,
        "location": None,
        "exclusions": set(),
    }


def added_to(
    timeline: dict[str, Any], blood: Blood, days: set[date], events: list[Event]
) -> Event | None:
    """Return the event in whose timeframe, and admission, the blood falls (R12)."""
    for event in events:
        shared = [
            one
            for one in admissions(timeline)
            if one.reaches(event.event) and one.reaches(blood.on)
        ]
        if shared and any(is_within(day, event.repeat) for day in days):
            return event
    return None


def determine_by_hand(
    timeline: dict[str, Any], *, by_date_of_event: bool = False
) -> dict[str, dict[str, Any]]:
    """Return the answer for each blood specimen that grew something.

    ``by_date_of_event`` takes the other reading of an open point: blood after a
    timeframe, of which a sign lies in it, joins (decision 0027).
    """
    answers = {
        one["id"]: nothing()
        for one in timeline["specimens"]
        if one["source"] == "blood" and one["organisms"]
    }
    events: list[Event] = []
    every = bloods(timeline)
    waiting = []
    for blood in every:
        twins = [
            one for one in every if are_a_pair(blood, one) or are_a_pair(one, blood)
        ]
        if is_secondary(timeline, blood, twins):
            _tell(answers, [blood], nothing() | {"type": "secondary"})
        else:
            waiting.append(blood)
    # Pathogen first (R15): of one day it is looked at before a commensal.
    waiting.sort(key=lambda one: (one.on, not one.has_pathogen))
    while waiting:
        blood = waiting.pop(0)
        together = _goes_with(blood, waiting)
        if together is None:
            continue
        found = _found(timeline, together, events, by_date_of_event)
        if found["type"] == "none" and found["added_to"] is None:
            unmet = [blood, *(one for one in waiting if are_a_pair(blood, one))]
            _tell(answers, [one for one in unmet if _is_bare(answers, one)], found)
            continue
        _tell(answers, together, found)
        waiting = [one for one in waiting if one not in together]
    return answers


def _is_bare(answers: dict[str, dict[str, Any]], blood: Blood) -> bool:
    """Whether no window was told of the blood yet."""
    return answers[blood.ids[0]]["infection_window"] is None


def _goes_with(blood: Blood, waiting: list[Blood]) -> list[Blood] | None:
    """Return the blood and what makes one event with it; None where it makes none.

    A partner that grew a pathogen too is evidence for the pair, and stays an event or
    an addition of its own, so that the pathogen is not lost (R15).
    """
    if blood.has_pathogen:
        day = [one for one in waiting if one.on == blood.on and one.has_pathogen]
        return [blood, *day]
    pair = [one for one in waiting if are_a_pair(blood, one)]
    if not pair:
        return None
    return [blood, *(one for one in pair if not one.has_pathogen)]


def _found(
    timeline: dict[str, Any],
    together: list[Blood],
    events: list[Event],
    by_date_of_event: bool,
) -> dict[str, Any]:
    """Return what blood that makes a primary event, or joins one, amounts to."""
    blood, window = together[0], around(together[0].on)
    if blood.has_pathogen:
        kind, event_on = "LCBI-1", blood.on
    else:
        met = criterion_of(timeline, blood)
        if met is None:
            return nothing(window)
        kind, event_on = f"LCBI-{met[0]}", met[1]
    days = {blood.on, event_on} if by_date_of_event else {blood.on}
    earlier = added_to(timeline, blood, days, events)
    if earlier is not None:
        return joined(timeline, earlier, together)
    event = Event(blood, together, kind, window, event_on)
    event.answer = describe(timeline, event)
    events.append(event)
    return event.answer


def _tell(
    answers: dict[str, dict[str, Any]], of: list[Blood], found: dict[str, Any]
) -> None:
    for blood in of:
        for name in blood.ids:
            answers[name] = found


def joined(
    timeline: dict[str, Any], event: Event, together: list[Blood]
) -> dict[str, Any]:
    """Return the answer for blood inside a timeframe; the event's type may change."""
    blood = together[0]
    grew = set().union(*(one.grew for one in together))
    is_barrier_still = event.answer["type"].startswith("MBI-") and grew <= (
        FROM_THE_GUT | FROM_THE_MOUTH
    )
    if blood.has_pathogen and is_within(blood.on, event.window):
        event.type = "LCBI-1"  # R15: both qualify, and the pathogen goes first
    event.answer["type"] = f"MBI-{event.type}" if is_barrier_still else event.type
    return nothing(around(blood.on)) | {
        "added_to": event.first.ids[0],
        "repeat_timeframe": event.repeat,
        "location": event.answer["location"],
        "healthcare_associated": event.answer["healthcare_associated"],
    }
