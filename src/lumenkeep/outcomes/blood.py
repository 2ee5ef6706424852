"""Blood that grew something, draw by draw: what it can be, and which draws pair up.

Bottles of one draw are one specimen. Two draws of one commensal on the same or the
next day are one element, dated on the first.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, time, timedelta
from typing import TYPE_CHECKING

from lumenkeep.outcomes.organism_match import more_exact
from lumenkeep.outcomes.organism_names import Taxon
from lumenkeep.outcomes.timeline import Specimen, Timeline

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lumenkeep.outcomes.protocol import Protocol
    from lumenkeep.outcomes.ways import Ways

BLOOD, CULTURE, MOLECULAR = "blood", "culture", "molecular"
ONE_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Draw:
    """One collection of blood that grew something.

    ``is_told_apart`` says whether the timeline tells it from other draws of its day.
    """

    day: date
    specimens: tuple[Specimen, ...]
    taxa: tuple[Taxon, ...]
    method: str
    is_told_apart: bool

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

    def of_role(self, ways: Ways, role: str) -> tuple[Taxon, ...]:
        """Return its organisms that play a role."""
        return tuple(taxon for taxon in self.taxa if ways.role(taxon) == role)


def draws_of(timeline: Timeline, protocol: Protocol) -> list[Draw]:
    """Return all draws of blood that grew something, by day, time and id."""
    bottles: dict[tuple[date, str, object], list[Specimen]] = {}
    for specimen in timeline.specimens:
        if specimen.source == BLOOD and specimen.organisms:
            at = specimen.at
            apart: object = specimen.draw
            if apart is None and at.has_clock:
                apart = at.clock
            key = (at.day, specimen.method, apart)
            bottles.setdefault(key, []).append(specimen)
    draws = [
        _draw(found, apart is not None, protocol)
        for (_, _, apart), found in bottles.items()
    ]
    return sorted(draws, key=lambda draw: (draw.day, draw.clock, draw.ids))


def _draw(bottles: list[Specimen], is_told_apart: bool, protocol: Protocol) -> Draw:  # noqa: FBT001
    bottles.sort(key=lambda specimen: (specimen.at, specimen.id))
    taxa = {
        taxon.name: taxon
        for specimen in bottles
        for taxon in (protocol.names.taxon(text) for text in specimen.organisms)
    }
    first = bottles[0]
    return Draw(
        first.at.day, tuple(bottles), tuple(taxa.values()), first.method, is_told_apart
    )


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
class Pair:
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


def pair_of(first: Draw, others: Iterable[Draw], ways: Ways) -> Pair | None:
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
            return Pair(first, tuple(every), exact, tuple(common))
    return None


def _share_a_commensal(one: Draw, other: Draw, ways: Ways) -> bool:
    mine = one.of_role(ways, "commensal")
    if len(mine) == 1:
        return False
    theirs = other.of_role(ways, "commensal")
    return any(ways.same(here, there) for here in mine for there in theirs)
