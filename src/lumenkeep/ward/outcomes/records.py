"""What the outcomes of a ward are worked out from: what was entered, and infections.

The book holds what people enter beside the chart: the hour of a ward's count, counts
taken by hand, and baselines with their source. It is only ever added to.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time

UNIT_KINDS = {
    "newborn": "Newborn unit, counted by birthweight",
    "specialty": "Cancer, blood or transplant unit",
    "other": "Any other unit",
}
BASELINE_KINDS = {"infections": "Infections", "line-days": "Line-days"}


@dataclass(frozen=True, slots=True)
class CountHour:
    """The hour at which a ward counts, from a day on, and what kind of unit it is."""

    id: int
    ward: str
    starts_on: date
    hour: time
    unit: str
    source: str
    by: str
    written_at: datetime


@dataclass(frozen=True, slots=True)
class NewCount:
    """A day's count taken by hand, about to be entered.

    ``strata`` holds children and those with a line, by birthweight group.
    """

    ward: str
    on: date
    children: int
    with_line: int
    by: str
    temporary: int | None = None
    permanent: int | None = None
    strata: Mapping[str, tuple[int, int]] = field(default_factory=dict)
    note: str = ""
    corrects: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ManualCount(NewCount):
    """A day's count as entered."""

    id: int
    written_at: datetime


@dataclass(frozen=True, slots=True)
class ReferenceStratum:
    """A reference rate that a user supplies: events in so many days, of one stratum."""

    stratum: str
    events: float
    days: float


@dataclass(frozen=True, slots=True)
class NewBaseline:
    """What a ratio is measured against, with its source, about to be entered.

    Either ``predicted`` for exactly ``first`` to ``last``, or ``strata`` to be applied
    to the ward's own days. Nothing of it is invented here.
    """

    ward: str
    kind: str
    first: date
    last: date
    source: str
    by: str
    predicted: float | None = None
    strata: tuple[ReferenceStratum, ...] = ()
    corrects: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Baseline(NewBaseline):
    """A baseline as entered."""

    id: int
    written_at: datetime


@dataclass(frozen=True, slots=True)
class InfectionEvent:
    """An infection by the rules, attributed to a ward.

    Attributes
    ----------
    key, href
        How it is named, and the address of its derivation ("" where none).
    on
        Date of event.
    type
        As determined, as in "LCBI-1".
    counts
        Whether it counts in the rate: belongs to a line, and no exclusion applies;
        None where a fact is missing that would decide.
    is_barrier
        Whether it is a mucosal-barrier form, kept out of the standardised ratio.
    is_decided
        Whether a person has confirmed or overridden it.
    """

    key: str
    ward: str
    on: date
    type: str
    counts: bool | None
    is_barrier: bool
    is_decided: bool
    href: str = ""
    entries: tuple[int, ...] = ()
