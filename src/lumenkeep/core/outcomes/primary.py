"""One primary bloodstream event: judged in the protocol's order, then closed.

The order matters: window, date of event, on admission or not, line on that date,
exclusions, mucosal-barrier form, location. What joins it later may change its type,
never its date, its line or its ward.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING

from lumenkeep.core.outcomes.admissions import (
    Admission,
    Belonging,
    attributed_location,
    is_present_on_admission,
)
from lumenkeep.core.outcomes.barrier import is_barrier_injury, is_of_the_gut
from lumenkeep.core.outcomes.blood import Draw
from lumenkeep.core.outcomes.derivation import Event, EvidenceSaid, Steps, UnknownFact
from lumenkeep.core.outcomes.exclusions import exclusions_of
from lumenkeep.core.outcomes.line_days import LineVerdict, judge_line

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lumenkeep.core.outcomes.one_run import RunWays
    from lumenkeep.core.outcomes.timeline import CellCount, Timeline

BARRIER = "MBI-"


@dataclass(slots=True)
class Primary:
    """An event while further blood may still join it."""

    draws: tuple[Draw, ...]
    criterion: str
    event_on: date
    window: tuple[date, date]
    repeat: tuple[date, date]
    home: Belonging
    organism: str
    steps: Steps = field(default_factory=Steps)
    is_barrier: bool = False
    is_associated: bool = False
    clabsi: bool | None = False
    line_day: int | None = None
    location: str | None = None
    exclusions: tuple[str, ...] = ()
    unknown: tuple[UnknownFact, ...] = ()
    open: frozenset[str] = frozenset()

    @property
    def id(self) -> str:
        """The id of its first specimen."""
        return self.draws[0].ids[0]

    @property
    def type(self) -> str:
        """Its type as it stands now."""
        return f"{BARRIER if self.is_barrier else ''}LCBI-{self.criterion}"

    def takes_in(self, days: tuple[date, ...], home: Belonging) -> bool:
        """Whether blood of these days falls in its repeat timeframe and admission."""
        inside = any(self.repeat[0] <= day <= self.repeat[1] for day in days)
        mine = self.home.admissions()
        return inside and any(its in mine for its in home.admissions())

    def joined_by(
        self, draws: tuple[Draw, ...], criterion: str, organism: str, ways: RunWays
    ) -> None:
        """Take in further blood; the type may change."""
        names = " + ".join(name for draw in draws for name in draw.ids)
        days = f"{self.repeat[0]} to {self.repeat[1]}"
        self.steps.because(
            "R12", f"{names} joined it inside the repeat timeframe {days}.", *draws
        )
        qualifies_too = self.window[0] <= draws[0].day <= self.window[1]
        if criterion == "1" and self.criterion != "1" and qualifies_too:
            self.criterion, self.organism = "1", organism
            self.steps.because(
                "R15", "A pathogen qualifies too and goes before the commensal."
            )
        if self.is_barrier and not all(
            is_of_the_gut(draw, criterion, ways) for draw in draws
        ):
            self.is_barrier = False
            self.steps.because(
                "R20",
                f"Re-typed to LCBI-{self.criterion}: {names} grew an organism outside "
                "the mucosal-barrier lists.",
                *draws,
            )

    def closed(self, timeline: Timeline, ways: RunWays) -> Event:
        """Return the event."""
        return Event(
            specimens=tuple(name for draw in self.draws for name in draw.ids),
            type=self.type,
            clabsi=self.clabsi,
            is_healthcare_associated=self.is_associated,
            event_on=self.event_on,
            window=self.window,
            repeat=self.repeat,
            line_day=self.line_day,
            location=self.location,
            exclusions=self.exclusions,
            organism=self.organism,
            stratum=ways.protocol.stratum(timeline.birthweight_g),
            steps=tuple(self.steps.found),
            unknown=self.unknown,
            open=self.open,
        )


def judge(
    event: Primary,
    timeline: Timeline,
    counts: Mapping[date, Sequence[CellCount]],
    ways: RunWays,
) -> None:
    """Work out everything that follows from the date of event."""
    steps, protocol = event.steps, ways.protocol
    admission = event.home.admission
    steps.because("R12", f"Its repeat timeframe is {_span(event.repeat)}.")
    line = LineVerdict(is_eligible=False, line_day=None)
    if admission is None:
        steps.because("R9", "The date of event lies in no admission and near none.")
    else:
        event.is_associated = _is_associated(event, admission, ways)
        line = judge_line(timeline, admission, event.event_on, protocol, steps)
        event.line_day = line.line_day
        event.open = frozenset({"line_day"} if line.is_day_open else ())
    if event.is_associated and admission is not None:
        event.exclusions = exclusions_of(
            timeline, admission, event.event_on, event.window, event.draws, ways, steps
        )
    event.is_barrier = is_barrier_injury(
        event.draws, event.criterion, timeline, counts, admission, ways, steps
    )
    event.clabsi = False
    if event.is_associated and not event.exclusions:
        event.clabsi = line.is_eligible
    _conclude(event, line)
    if event.is_associated and admission is not None:
        event.location = _located(event, admission, ways)


def _span(days: tuple[date, date]) -> str:
    return f"{days[0]} to {days[1]}"


def _is_associated(event: Primary, admission: Admission, ways: RunWays) -> bool:
    number = admission.number(event.event_on)
    steps = event.steps
    first = EvidenceSaid(
        f"hospital day 1 is {admission.first}", admission.stays[0].entries
    )
    if event.home.is_before or is_present_on_admission(
        admission, event.event_on, ways.protocol
    ):
        steps.because(
            "R9",
            f"The date of event is hospital day {number}: present on admission.",
            first,
        )
        steps.otherwise(
            "R9",
            "it lay after hospital day "
            f"{ways.protocol.count('poa-last-hospital-day')}, it would be "
            "healthcare-associated.",
        )
        if number > 0:
            steps.because(
                "R25",
                "Where the child came from another hospital, that hospital is to be "
                "told: there it is an event of the day of transfer or the next.",
            )
        return False
    steps.because(
        "R9",
        f"The date of event is hospital day {number}: healthcare-associated.",
        first,
    )
    if event.home.next_admission is not None:
        steps.because(
            "R25",
            "For the admission that followed it is present on admission, with the "
            "same repeat timeframe.",
            f"next admission on {event.home.next_admission.first}",
        )
    return True


def _conclude(event: Primary, line: LineVerdict) -> None:
    if event.clabsi is None:
        event.unknown = line.unknown
        event.open |= {"clabsi"}
        return
    if event.clabsi:
        event.steps.because(
            "R22",
            "CLABSI: healthcare-associated, an eligible line, no exclusion.",
        )
    elif not event.is_associated:
        event.steps.because("R22", "Not a CLABSI: not healthcare-associated.")
    elif event.exclusions:
        event.steps.because(
            "R22", "Not counted as CLABSI: " + ", ".join(event.exclusions) + "."
        )
    else:
        event.steps.because("R22", "Not a CLABSI: no eligible line.")
    if event.is_barrier and event.clabsi:
        event.steps.because(
            "R20", "As a mucosal-barrier form it is left out of the main ratio."
        )


def _located(event: Primary, admission: Admission, ways: RunWays) -> str | None:
    location, there = attributed_location(admission, event.event_on, ways.protocol)
    if location != there:
        event.steps.because(
            "R25",
            f"The child moved on the date of event or the day before: it belongs to "
            f"{location}, the location left, not to {there}.",
        )
    else:
        event.steps.because("R25", f"On the date of event the child was in {location}.")
    return location
