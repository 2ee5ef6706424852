"""What a form of one line needs to know: the line, its entries, what the ward offers."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING

from lumenkeep.core.entries import every_kind
from lumenkeep.core.model.chart import roots_of, standing
from lumenkeep.core.model.entry import Entry
from lumenkeep.core.model.infection_words import SOURCES
from lumenkeep.core.policy import Situation
from lumenkeep.core.reading.line_reading import LineReading, read_line
from lumenkeep.ward.chart.line_at_hand import (
    LineAtHand,
    RulesOfWard,
    agents_used,
    shares_bed,
)

if TYPE_CHECKING:
    from datetime import tzinfo

    from lumenkeep.core.policy import RuleBook
    from lumenkeep.ward.chart.acting import WardContext

GONE, NO_WARD = "gone", "No ward of this hospital"
"""Chosen where the child has left the hospital's wards."""
Offers = Mapping[str, Mapping[str, str]]


@dataclass(frozen=True, slots=True)
class FormContext:
    """A line at the moment when somebody charts on it.

    Attributes
    ----------
    entries
        Of the line and its child; without the one being corrected, so that nothing is
        held against itself.
    offers
        Words by what the ward or its policy offers: see `answers.Offered`.
    wrong
        The entry being corrected, if one is.
    reading
        What holds for the line now.
    holds
        Why the line must not be used, in sentences; by every entry, the one being
        corrected too.
    is_bed_taken
        Whether another child has a bed: by key of the ward, and bed.
    """

    line: LineAtHand
    entries: Sequence[Entry]
    now: datetime
    offers: Offers
    reading: LineReading
    holds: tuple[str, ...] = ()
    wrong: Entry | None = None
    is_bed_taken: Callable[[str, str], bool] = lambda _ward, _bed: False

    @property
    def zone(self) -> tzinfo:
        """The ward's zone."""
        return self.line.ward.zone

    @property
    def book(self) -> RuleBook:
        """The rules of today."""
        return self.line.policy.on(self.now.astimezone(self.zone).date())

    @property
    def situation(self) -> Situation:
        """The facts of now, for a rule's conditions."""
        return Situation(self.reading.state.case, self.now)


def bedside(
    at: WardContext,
    found: LineAtHand,
    *,
    staff: Mapping[str, str] | None = None,
    wrong: Entry | None = None,
) -> FormContext:
    """Return what a form about this line needs to know now.

    Parameters
    ----------
    staff
        Names of those who may have helped, by key; None where nobody is offered.
    wrong
        The entry that is being corrected.
    """
    now, wards = at.clock.now(), at.chart.wards()
    every = at.chart.entries(found.record.key)
    others = [e for e in every if wrong is None or e.id != wrong.id]
    rules = RulesOfWard(at.policies, found.ward)
    reading = whole = read_line(others, now, rules, found.ward.zone)
    if wrong is not None:
        whole = read_line(every, now, rules, found.ward.zone)
        found = replace(found, record=replace(found.record, state=reading.state))
    offers = {
        "agents": agents_used(found.policy),
        "staff": staff or {},
        "wards": {ward.key: ward.name for ward in wards} | {GONE: NO_WARD},
        "units": {ward.key: ward.unit for ward in wards},
        "specimens": specimens_in_words(every, found.ward.zone),
        "concerns": {one.key: one.label for one in reading.all_concerns},
    }
    holds = tuple(hold.sentence for hold in whole.holds)
    child = found.record.child

    def is_taken(ward: str, bed: str) -> bool:
        return shares_bed(at.chart, ward, bed, child)

    return FormContext(found, others, now, offers, reading, holds, wrong, is_taken)


def specimens_in_words(entries: Sequence[Entry], zone: tzinfo) -> dict[str, str]:
    """Return the specimens that stand, the latest first, by the id of their first entry.

    A specimen that was corrected keeps the id of the entry that first charted it.
    """
    roots = roots_of(entries)
    found = [e for e in standing(entries) if e.kind == "specimen"]
    return {str(roots[e.id]): _in_words(e, zone) for e in reversed(found)}


def _in_words(specimen: Entry, zone: tzinfo) -> str:
    body, at = specimen.body, specimen.happened_at.astimezone(zone)
    source = SOURCES.get(str(body.get("source")), "Specimen")
    draw = body.get("draw") or "draw not named"
    return f"{source}, {draw}, {at:%a} {at.day} {at:%b %Y %H:%M}"


def kinds_by_hand() -> tuple[str, ...]:
    """Return the ids of the kinds that have a form."""
    return tuple(id_ for id_, kind in every_kind().items() if kind.form is not None)
