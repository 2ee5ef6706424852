"""The section on concerns: what was found, how soon somebody acted, what is open."""

from __future__ import annotations

from collections import Counter
from statistics import median
from typing import TYPE_CHECKING, cast

from lumenkeep.ward.concerns.listing import ListedConcern, concerns_between
from lumenkeep.ward.look_back.parts import LookFigure, LookSection, lasting

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping, Sequence
    from datetime import datetime

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.core.watch.concerns import Concern
    from lumenkeep.ward.concerns.records import ConcernSource, OpenLine
    from lumenkeep.ward.look_back.request import LookBackRequest

PORT = "concerns"


def concern_sections(asked: LookBackRequest) -> tuple[LookSection, ...]:
    """Return the concerns of the ward in the period; none without the port."""
    if PORT not in asked.sources.more:
        return ()
    source = cast("ConcernSource", asked.sources.more[PORT])
    found = concerns_between(
        _Charted(source, asked),
        asked.sources.policies,
        asked.ward,
        asked.start,
        asked.end,
    )
    return (
        LookSection(
            "concerns",
            "Concerns",
            _sentence(asked, found),
            tuple(_figures(asked, found)),
            unknown=_unknown(found),
        ),
    )


class _Charted:
    """The source, with the entries that the look-back has read already.

    Parameters
    ----------
    source
        Asked for whatever was not read.
    asked
        Whose chart was read.
    """

    def __init__(self, source: ConcernSource, asked: LookBackRequest) -> None:
        self._shelf = source
        self._of_child = {
            line: entries
            for entries in asked.chart.values()
            for line in {e.line for e in entries if e.line is not None}
        }

    def open_lines(self, ward: str | None) -> Sequence[OpenLine]:
        """Return every line of a ward that may have an open concern."""
        return self._shelf.open_lines(ward)

    def lines_of_period(
        self, ward: str, first: datetime, last: datetime
    ) -> Sequence[OpenLine]:
        """Return the lines that may have had a concern on a ward in a period."""
        return self._shelf.lines_of_period(ward, first, last)

    def entries_of(self, lines: Collection[str]) -> Mapping[str, Sequence[Entry]]:
        """Return the entries of each line and its child."""
        read = {
            line: [e for e in self._of_child[line] if e.line in (None, line)]
            for line in lines
            if line in self._of_child
        }
        others = [line for line in lines if line not in read]
        return {**read, **self._shelf.entries_of(others)} if others else read


def _is_fresh(asked: LookBackRequest, listed: ListedConcern) -> bool:
    return listed.concern.since >= asked.start


def _sentence(asked: LookBackRequest, found: Sequence[ListedConcern]) -> str:
    if not found:
        return "Nothing was found that somebody had to act on."
    fresh = sum(_is_fresh(asked, one) for one in found)
    still = sum(one.concern.is_open for one in found)
    late = sum(one.concern.was_overdue for one in found)
    told = f"{_counted(fresh)} {'was' if fresh == 1 else 'were'} found"
    if not fresh:
        told = "No concern was found"
    if older := len(found) - fresh:
        told += f", {older:,} older {'one was' if older == 1 else 'ones were'} open"
    told += f"; {still:,} {'is' if still == 1 else 'are'} still open"
    return f"{told}, and {late:,} went beyond {'its' if late == 1 else 'their'} time."


def _counted(number: int) -> str:
    return f"{number:,} {'concern' if number == 1 else 'concerns'}"


def _figures(
    asked: LookBackRequest, found: Sequence[ListedConcern]
) -> list[LookFigure]:
    fresh = [one for one in found if _is_fresh(asked, one)]
    kinds = Counter(one.concern.label for one in fresh)
    words = ", ".join(f"{label} {count}" for label, count in kinds.most_common())
    figures = [_figure("found", "Found", fresh, f"{words}." if words else "")]
    taken = [
        (one, one.concern.taken_at - one.concern.since)
        for one in fresh
        if one.concern.taken_at is not None
    ]
    if taken:
        middle = median(span.total_seconds() for _, span in taken)
        figures.append(
            LookFigure(
                "taken",
                "Until somebody took it on",
                lasting(middle),
                f"Half of {_counted(len(taken))} sooner, half later.",
                _entries(one for one, _ in taken),
            )
        )
    for key, name, those in (
        ("closed", "Closed", [one for one in found if not one.concern.is_open]),
        (
            "late",
            "Beyond their time",
            [one for one in found if one.concern.was_overdue],
        ),
        ("open", "Still open", [one for one in found if one.concern.is_open]),
    ):
        figures.append(_figure(key, name, those))
    return figures


def _figure(
    key: str, name: str, those: Sequence[ListedConcern], words: str = ""
) -> LookFigure:
    return LookFigure(key, name, f"{len(those):,}", words, _entries(those))


def _entries(those: Iterable[ListedConcern]) -> tuple[int, ...]:
    """Return what showed the concerns, and what people did about them."""
    return tuple(dict.fromkeys(entry for one in those for entry in _of(one.concern)))


def _of(concern: Concern) -> tuple[int, ...]:
    return (*concern.entries, *(act.entry for act in concern.acts))


def _unknown(found: Sequence[ListedConcern]) -> tuple[str, ...]:
    open_ones = [one for one in found if one.concern.is_open and one.concern.is_overdue]
    if not open_ones:
        return ()
    number = len(open_ones)
    return (
        (
            f"How {_counted(number)} ended: nobody has closed "
            f"{'it' if number == 1 else 'them'}, and the time for it is past."
        ),
    )
