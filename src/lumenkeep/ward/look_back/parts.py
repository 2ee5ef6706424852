"""What a look-back consists of: sections of figures, each with the entries behind it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import TYPE_CHECKING, Any

from lumenkeep.drawing import Drawing, Share, item_rows
from lumenkeep.ward.site.people import WardRecord

if TYPE_CHECKING:
    from collections.abc import Iterable

HOURS_A_DAY = 24.0
SECONDS_A_MINUTE, SECONDS_AN_HOUR = 60.0, 3600.0
TWO_DAYS = 2.0


def lasting(seconds: float) -> str:
    """Return a span of time in minutes, hours or days."""
    hours = seconds / SECONDS_AN_HOUR
    if round(hours) < 1:
        return _counted(round(seconds / SECONDS_A_MINUTE), "minute")
    if hours < TWO_DAYS * HOURS_A_DAY:
        return _counted(round(hours), "hour")
    return f"{hours / HOURS_A_DAY:.1f} days".replace(".0 ", " ")


def _counted(count: int, thing: str) -> str:
    return f"{count} {thing}" if count == 1 else f"{count} {thing}s"


CAUTION = (
    "Decision support: these figures are only as complete as what was charted. The "
    "hospital’s own policy, infection prevention and licensed staff decide."
)


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """Something a figure rests on that is no entry of the chart.

    ``kind`` is "infection" (key: its first entry), "count" (a count by hand),
    "policy" (a step of a version's life), "round" or "concern"; ``words`` name it.
    """

    kind: str
    key: str
    words: str


@dataclass(frozen=True, slots=True)
class LookFigure:
    """One figure.

    Attributes
    ----------
    key
        Names it within its section.
    name, value
        "Line-days", "1,204".
    words
        What it means and how sure it is; may be empty.
    entries
        Ids of the chart's entries that it was worked out from.
    elsewhere
        What else it rests on.
    """

    key: str
    name: str
    value: str
    words: str = ""
    entries: tuple[int, ...] = ()
    elsewhere: tuple[Elsewhere, ...] = ()


@dataclass(frozen=True, slots=True)
class LookPicture:
    """A picture of a look-back; drawn only where somebody looks at it.

    ``draw`` takes what is ``given``, and then key and title.
    """

    key: str
    title: str
    draw: Callable[..., Drawing]
    given: tuple[Any, ...]

    @property
    def drawing(self) -> Drawing:
        """The picture drawn."""
        return self.draw(*self.given, self.key, self.title)


def shares_drawing(
    shares: Sequence[Share], measured: str, key: str, title: str
) -> Drawing:
    """Return shares by item drawn; ``measured`` says what the share is of."""
    return item_rows(key, title, shares, measured=measured)


@dataclass(frozen=True, slots=True)
class LookSection:
    """One part of a look-back.

    Attributes
    ----------
    key, title
        "process", "Changes done in time".
    sentence
        The answer first.
    figures
        Each traceable.
    pictures
        What is to be drawn.
    lines
        Further plain sentences, as of what changed when.
    unknown
        What is not known, and what would mend it.
    """

    key: str
    title: str
    sentence: str
    figures: tuple[LookFigure, ...] = ()
    pictures: tuple[LookPicture, ...] = ()
    lines: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()

    def figure(self, key: str) -> LookFigure | None:
        """Return the figure of that key; None if there is none."""
        return next((one for one in self.figures if one.key == key), None)


@dataclass(frozen=True, slots=True)
class TracedEntry:
    """An entry behind a figure: where it stands, without anything of the child.

    ``line`` is a line of the child where the entry is of the child alone; None where
    the child has none.
    """

    id: int
    kind: str
    line: str | None
    happened_at: datetime


@dataclass(frozen=True, slots=True)
class LookBack:
    """A ward and period looked back on.

    Attributes
    ----------
    ward, first, last
        Both days are in the period.
    at
        When it was looked at (UTC).
    sentence
        The answer first.
    sections
        In the order shown.
    left_out
        Parts that could not be looked at, by name.
    traced
        Every entry that a figure names, by id.
    """

    ward: WardRecord
    first: date
    last: date
    at: datetime
    sentence: str
    sections: tuple[LookSection, ...]
    left_out: tuple[str, ...] = ()
    traced: Mapping[int, TracedEntry] = field(default_factory=dict)
    caution: str = CAUTION

    def section(self, key: str) -> LookSection | None:
        """Return the section of that key; None if there is none."""
        return next((one for one in self.sections if one.key == key), None)


def entry_ids(figures: Iterable[LookFigure]) -> set[int]:
    """Return the ids of all entries behind figures."""
    return {id_ for figure in figures for id_ in figure.entries}
