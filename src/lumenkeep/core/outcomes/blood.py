"""Blood that grew something, draw by draw: what it can be, and which draws pair up.

Bottles of one draw are one specimen. Two draws of one commensal on the same or the
next day are one element, dated on the first.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, time, timedelta
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes import questions
from lumenkeep.core.outcomes.organism_match import more_exact
from lumenkeep.core.outcomes.organism_names import Taxon
from lumenkeep.core.outcomes.timeline import Specimen, Timeline

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lumenkeep.core.outcomes.one_run import RunWays
    from lumenkeep.core.outcomes.protocol import Protocol

BLOOD, CULTURE, MOLECULAR = "blood", "culture", "molecular"
ONE_DAY = timedelta(days=1)
MOST_GROUPINGS = 60
"""So many ways to tell the bottles of a day apart are tried; else all and none."""
Grouping = list[list[Specimen]]


@dataclass(frozen=True, slots=True)
class Draw:
    """One collection of blood that grew something."""

    day: date
    specimens: tuple[Specimen, ...]
    taxa: tuple[Taxon, ...]
    method: str

    @property
    def ids(self) -> tuple[str, ...]:
        """The ids of its specimens."""
        return tuple(specimen.id for specimen in self.specimens)

    @property
    def entries(self) -> tuple[str, ...]:
        """The ids of the chart's entries behind its specimens."""
        return tuple(name for one in self.specimens for name in one.entries)

    @property
    def clock(self) -> time:
        """Time of day of its first specimen; midnight where not known."""
        return self.specimens[0].at.clock

    def __str__(self) -> str:
        grew = ", ".join(taxon.name for taxon in self.taxa)
        return f"blood {' + '.join(self.ids)} on {self.day}: {grew}"

    def of_role(self, ways: RunWays, role: str) -> tuple[Taxon, ...]:
        """Return its organisms that play a role."""
        return tuple(taxon for taxon in self.taxa if ways.role(taxon) == role)


def draws_of(timeline: Timeline, ways: RunWays) -> list[Draw]:
    """Return all draws of blood that grew something, by day, time and id.

    Where the timeline does not tell draws of a day apart, they are asked about; so is
    blood without a result that may pair up with a commensal near it.
    """
    of_day: dict[tuple[date, str], list[Specimen]] = {}
    grown = [one for one in timeline.specimens if _is_blood(one, ways)]
    for specimen in (*grown, *_awaited(grown, ways)):
        if specimen.organisms:
            of_day.setdefault((specimen.at.day, specimen.method), []).append(specimen)
    may_be_elsewhere = bool(timeline.other_infections)
    draws = [
        _draw(bottles, ways)
        for found in of_day.values()
        for bottles in _told_apart(found, ways, may_be_elsewhere=may_be_elsewhere)
    ]
    return sorted(draws, key=lambda draw: (draw.day, draw.clock, draw.ids))


def _is_blood(specimen: Specimen, ways: RunWays) -> bool:
    """Whether a specimen is blood; where nobody says what it is, as this run takes it."""
    if specimen.source or not specimen.organisms:
        return specimen.source == BLOOD
    return not ways.choose(questions.source(specimen))


def _awaited(blood: list[Specimen], ways: RunWays) -> Iterator[Specimen]:
    """Yield blood without a result as it may turn out beside commensals near it."""
    gap = ways.protocol.days("pair-apart")
    for awaited in blood:
        if awaited.result_is_told or awaited.method != CULTURE:
            continue
        near = [
            text
            for one in blood
            if abs(one.at.day - awaited.at.day) <= gap
            for text in one.organisms
            if ways.protocol.lists.role(ways.taxon(text)) in ("commensal", "ask")
        ]
        names = tuple(dict.fromkeys(near))
        answer = ways.choose(questions.result(awaited, names)) if names else 0
        if answer:
            yield replace(awaited, organisms=(names[answer - 1],))


def _told_apart(
    found: list[Specimen], ways: RunWays, *, may_be_elsewhere: bool
) -> Grouping:
    """Return the bottles of a day, draw by draw."""
    found = sorted(found, key=lambda specimen: (specimen.at, specimen.id))
    named: dict[object, list[Specimen]] = {}
    loose = []
    for one in found:
        name: object = one.draw
        if name is None and one.at.has_clock:
            name = one.at.clock
        if name is None:
            loose.append(one)
        else:
            named.setdefault(name, []).append(one)
    groupings = _groupings(list(named.values()), loose)
    if len(groupings) == 1 or not (may_be_elsewhere or _may_pair(found, ways)):
        return groupings[0]
    return groupings[ways.choose(questions.draws(found, groupings))]


def _may_pair(found: list[Specimen], ways: RunWays) -> bool:
    """Whether it matters to the commensal criterion which bottles were one draw."""
    return any(
        ways.protocol.lists.role(ways.taxon(text)) in ("commensal", "ask")
        for one in found
        for text in one.organisms
    )


def _groupings(named: Grouping, loose: list[Specimen]) -> list[Grouping]:
    """Return every way to tell loose bottles apart; first as one draw of their own."""
    if not loose:
        return [named]
    together = [*named, loose]
    apart = [*named, *([one] for one in loose)]
    found = [together]
    partial: list[Grouping] = [named]
    for one in loose:
        partial = [
            grouping
            for before in partial
            for grouping in (
                *(
                    [*before[:n], [*before[n], one], *before[n + 1 :]]
                    for n in range(len(before))
                ),
                [*before, [one]],
            )
        ]
        if len(partial) > MOST_GROUPINGS:
            return [together] if together == apart else [together, apart]
    return found + [one for one in partial if one != together]


def _draw(bottles: list[Specimen], ways: RunWays) -> Draw:
    bottles = sorted(bottles, key=lambda specimen: (specimen.at, specimen.id))
    taxa = {
        taxon.name: taxon
        for specimen in bottles
        for taxon in (ways.taxon(text) for text in specimen.organisms)
    }
    first = bottles[0]
    return Draw(first.at.day, tuple(bottles), tuple(taxa.values()), first.method)


def culture_days(timeline: Timeline) -> frozenset[date]:
    """Return the days on which blood was taken for culture, whatever it grew."""
    return frozenset(
        specimen.at.day
        for specimen in timeline.specimens
        if specimen.source == BLOOD and specimen.method == CULTURE
    )


def is_overruled(draw: Draw, cultured: frozenset[date], protocol: Protocol) -> bool:
    """Whether a culture near it takes the place of a molecular result."""
    if draw.method != MOLECULAR:
        return False
    day = draw.day - protocol.days("molecular-before")
    last = draw.day + protocol.days("molecular-after")
    while day <= last:
        if day in cultured:
            return True
        day += ONE_DAY
    return False


@dataclass(frozen=True, slots=True)
class CommensalPair:
    """A commensal in two draws on separate occasions, or more."""

    first: Draw
    partners: tuple[Draw, ...]
    organism: Taxon
    common: tuple[Taxon, ...]

    @property
    def draws(self) -> tuple[Draw, ...]:
        """All its draws."""
        return (self.first, *self.partners)

    @property
    def ids(self) -> tuple[str, ...]:
        """The ids of all its specimens."""
        return tuple(name for draw in self.draws for name in draw.ids)


def pair_of(first: Draw, others: Iterable[Draw], ways: RunWays) -> CommensalPair | None:
    """Return the pair that ``first`` begins with draws of its own or the next day."""
    gap = ways.protocol.days("pair-apart")
    near = [
        other
        for other in others
        if other is not first
        and other.method == CULTURE
        and timedelta(0) <= other.day - first.day <= gap
    ]
    if first.method != CULTURE:
        return None
    for organism in first.of_role(ways, "commensal"):
        partners, exact, common = [], organism, [organism]
        for other in near:
            for taxon in other.of_role(ways, "commensal"):
                if ways.same(organism, taxon):
                    partners.append(other)
                    common.append(taxon)
                    exact = more_exact(exact, taxon)
                    break
        if partners:
            # A second commensal of the first draw may have partners of its own.
            also = [one for one in near if _share_a_commensal(first, one, ways)]
            every = [one for one in near if one in partners or one in also]
            return CommensalPair(first, tuple(every), exact, tuple(common))
    return None


def _share_a_commensal(one: Draw, other: Draw, ways: RunWays) -> bool:
    mine = one.of_role(ways, "commensal")
    if len(mine) == 1:
        return False
    theirs = other.of_role(ways, "commensal")
    return any(ways.same(here, there) for here in mine for there in theirs)
