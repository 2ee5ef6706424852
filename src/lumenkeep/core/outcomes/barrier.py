"""The mucosal-barrier form: only organisms of the gut, in a host whose lining fails.

Neutropenia is looked for round the collection date, not the date of event.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes import questions
from lumenkeep.core.outcomes.derivation import EvidenceSaid
from lumenkeep.core.outcomes.signs import birth_until, months_after

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lumenkeep.core.outcomes.admissions import Admission
    from lumenkeep.core.outcomes.blood import Draw
    from lumenkeep.core.outcomes.derivation import Steps
    from lumenkeep.core.outcomes.one_run import RunWays
    from lumenkeep.core.outcomes.protocol import Protocol
    from lumenkeep.core.outcomes.timeline import CellCount, GutFinding, Timeline

ONE_DAY = timedelta(days=1)
INTESTINAL, COMMENSAL = "mucosal-barrier", "mucosal-commensal"
ALLOGENEIC, GVHD, STOOL = "allogeneic", "gvhd", "stool"
DECIMALS = 9  # a quotient that is exact on paper stays so


def is_of_the_gut(draw: Draw, criterion: str, ways: RunWays) -> bool:
    """Whether a draw grew only what the mucosal-barrier form allows.

    For criterion 1 at least one organism of the intestinal list, with viridans
    streptococci or Rothia at most beside it; for 2 and 3 these alone.
    """
    commensal = [ways.protocol.lists.on(COMMENSAL, t) == "match" for t in draw.taxa]
    if criterion != "1":
        return all(commensal)
    rest = [
        taxon for taxon, is_so in zip(draw.taxa, commensal, strict=True) if not is_so
    ]
    return bool(rest) and all(ways.on(INTESTINAL, taxon) for taxon in rest)


def is_barrier_injury(
    draws: tuple[Draw, ...],
    criterion: str,
    timeline: Timeline,
    counts: Mapping[date, Sequence[CellCount]],
    admission: Admission | None,
    ways: RunWays,
    steps: Steps,
) -> bool:
    """Whether an event takes the mucosal-barrier form, and why."""
    fit = [draw for draw in draws if is_of_the_gut(draw, criterion, ways)]
    needed = 1 if criterion == "1" else ways.protocol.count("pair-draws")
    if len(fit) < needed:
        if counts or timeline.transplants:
            steps.because(
                "R20",
                "Not a mucosal-barrier form: the specimen grew an organism that is "
                "not on the list for it.",
                *draws,
            )
        return False
    days = sorted({draw.day for draw in (fit if criterion == "1" else fit[:1])})
    for day in days:
        if _is_neutropenic(day, counts, ways.protocol, steps):
            return True
        if _has_failing_gut(day, timeline, admission, ways, steps):
            return True
    return False


def _is_neutropenic(
    collected_on: date,
    counts: Mapping[date, Sequence[CellCount]],
    protocol: Protocol,
    steps: Steps,
) -> bool:
    low = collected_on - protocol.days("barrier-count-before")
    high = collected_on + protocol.days("barrier-count-after")
    limit = protocol.limits["barrier-count-below"]
    found: list[CellCount] = []
    day = low
    while day <= high:
        below = [count for count in counts.get(day, ()) if count.per_mm3 < limit]
        found.extend(below[:1])
        day += ONE_DAY
    needed = protocol.count("barrier-count-days")
    words = f"{len(found)} days below {limit:g}/mm³ from {low} to {high}"
    if len(found) >= needed:
        steps.because("R20", f"Mucosal-barrier form: {words}.", *found)
        return True
    if counts:
        steps.because("R20", f"No neutropenia: {words}, {needed} are needed.", *found)
        steps.otherwise(
            "R20",
            f"{needed - len(found)} more days below {limit:g}/mm³ lay there, it would "
            "take the mucosal-barrier form.",
        )
    return False


def _has_failing_gut(
    collected_on: date,
    timeline: Timeline,
    admission: Admission | None,
    ways: RunWays,
    steps: Steps,
) -> bool:
    protocol = ways.protocol
    months = protocol.count("transplant-within-months")
    recent = [
        graft
        for graft in timeline.transplants
        if graft.kind == ALLOGENEIC
        and graft.on <= collected_on <= months_after(graft.on, months)
    ]
    if not recent or admission is None:
        return False
    in_stay = [
        found
        for found in sorted(timeline.gut, key=lambda found: found.at)
        if admission.holds(found.at.day)
    ]
    graft = recent[0]
    evidence = EvidenceSaid(f"allogeneic transplant on {graft.on}", graft.entries)
    for found in in_stay:
        is_severe = (found.grade or 0) >= protocol.count("gvhd-grade")
        if found.kind == GVHD and is_severe:
            steps.because("R20", "Mucosal-barrier form: gut disease.", evidence, found)
            return True
    onset = _stool_onset(in_stay, collected_on, ways)
    if onset is None:
        return False
    steps.because("R20", "Mucosal-barrier form: diarrhoea.", evidence, onset)
    return True


def _stool_onset(
    in_stay: list[GutFinding],
    collected_on: date,
    ways: RunWays,
) -> GutFinding | None:
    """Return the first day of diarrhoea of the stated amount, begun near enough."""
    earliest = collected_on - ways.protocol.days("stool-onset-before")
    was_enough = False
    for found in in_stay:
        if found.kind != STOOL:
            continue
        is_enough = _is_enough(found, ways)
        is_onset = is_enough and not was_enough
        if is_onset and earliest <= found.at.day <= collected_on:
            return found
        was_enough = is_enough
    return None


def _is_enough(found: GutFinding, ways: RunWays) -> bool:
    protocol = ways.protocol
    volume = found.ml_24h or 0
    by_volume = volume >= protocol.limits["stool-ml"]
    by_mass = None
    if found.mass_kg:
        per_kg = round(volume / found.mass_kg, DECIMALS)
        by_mass = per_kg >= protocol.limits["stool-ml-per-kg"]
    if by_mass == by_volume:
        return by_volume
    # A child born on this day or later had not yet come to the age of adults.
    since = birth_until(found.at.day + ONE_DAY, protocol.count("adult-from-months"))
    if not ways.is_born_since(since, "R20", f"to judge the stool on {found.at}"):
        return by_volume
    if by_mass is None:
        return bool(ways.choose(questions.mass(found)))
    return by_mass
