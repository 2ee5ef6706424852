"""What the demo hospital asks for a line, by hand: due now, and what may not touch it.

For a child of four with an arm or chest line, or a port: no limit of age, weight or
umbilicus is met. Written from the hospital's requirements, apart from its rules.
"""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import datetime

    from tests.fakes.chart_by_hand import HungSet, Read

AGENTS = ("chlorhexidine-alcohol", "povidone-iodine")
PUT_ON = ("transparent-chg-gel", "transparent", "gauze")
"""What this hospital uses, the best first."""
WITH_CHLORHEXIDINE = {"transparent-chg-gel", "transparent-chg-disc"}
FILMS = WITH_CHLORHEXIDINE | {"transparent"}
WORN = FILMS | {"gauze", "gauze-under-transparent", "bridge"}
STICKS = WORN - {"gauze"}
FAILED = {"damp", "loose", "soiled"}
SEEN_AS = {
    "bleeding": "bleeding", "bleeding-on": "bleeding", "discharge": "discharge",
    "sodden": "sodden",
}  # fmt: skip
DAY, WEEK = timedelta(days=1), timedelta(days=7)
FILM_STAYS, GAUZE_STAYS = WEEK, timedelta(days=2)
SET_STAYS = {"plain": WEEK, "lipid": DAY, "blood": DAY, "medicine": DAY}


def findings(read: Read) -> set[str]:
    """Return what is found on the dressing and at the site under it."""
    return read.found | {SEEN_AS[sign] for sign in read.signs if sign in SEEN_AS}


def barred(read: Read) -> set[str]:
    """Return the antiseptics and dressings that surely may not touch this child."""
    never = read.sensitivities or frozenset()
    found: set[str] = set()
    if "chlorhexidine" in never or read.skin == "broken":
        found |= {AGENTS[0]} | WITH_CHLORHEXIDINE
    if "alcohol" in never:
        found |= {AGENTS[0]}
    if "iodine" in never:
        found |= {AGENTS[1]}
    if "adhesive" in never:
        found |= STICKS
    if "gel" in never:
        found |= {"transparent-chg-gel"}
    if read.skin == "broken":
        found |= {"transparent"}
    if findings(read) & {"bleeding", "discharge", "sodden"}:
        found |= FILMS
    return found


def is_all_known(read: Read) -> bool:
    """Return whether nothing that decides about this child is left to ask."""
    known = (read.born, read.grams, read.skin, read.sensitivities, read.line_kind)
    return None not in known


def due_now(read: Read, at: datetime) -> set[str]:
    """Return the tasks that are due at ``at`` (UTC), by the policy's words."""
    if not read.is_in:
        return set()
    is_port = read.line_kind == "port"
    at_rest = is_port and read.needle_in is False
    due = set()
    if _dressing_is_due(read, at, at_rest=at_rest):
        due.add("dressing")
    daily = ("site-check", "line-review")
    due |= {task for task in daily if _is_past(read.done.get(task), DAY, at)}
    if not at_rest and _is_past(read.done.get("connector"), WEEK, at):
        due.add("connector")
    may_be_port = is_port or read.line_kind is None
    if may_be_port and not at_rest and _is_past(read.done.get("port-needle"), WEEK, at):
        due.add("port-needle")
    hung = [HANGS_UNKNOWN] if read.sets is None else list(read.sets.values())
    none_hangs = at_rest or read.in_use is False
    if not none_hangs and any(_set_is_due(one, at) for one in hung):
        due.add("set")
    return due


HANGS_UNKNOWN = None


def _set_is_due(one: HungSet | None, at: datetime) -> bool:
    if one is None:
        return True
    return _is_past(one.since, SET_STAYS.get(one.kind or "", DAY), at)


def _dressing_is_due(read: Read, at: datetime, *, at_rest: bool) -> bool:
    """Return whether it failed, may not stay on, or its time is over."""
    if findings(read) & (FAILED | set(SEEN_AS.values())):
        return True
    anything = set() if read.is_off else WORN
    worn = {read.dressing} if read.dressing else anything
    if worn & barred(read):
        return True
    if at_rest:
        return False
    stays = FILM_STAYS if read.dressing in FILMS else GAUZE_STAYS
    return _is_past(read.put_on, stays, at)


def _is_past(since: datetime | None, stays: timedelta, at: datetime) -> bool:
    """Return whether a time is over; what nobody knows is due now."""
    return since is None or at >= since + stays
