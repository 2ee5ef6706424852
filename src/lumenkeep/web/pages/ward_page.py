"""The ward view as one value: the counts over all lines, and the strips to show."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumenkeep.text.moments import counted
from lumenkeep.ward.chart.line_at_hand import SHARES_BED, lines_in_shared_beds
from lumenkeep.ward.chart.pages.standing import (
    HELD,
    LineStanding,
    held,
    no_answer,
    standing_of,
)
from lumenkeep.ward.chart.pages.strip import axis_around, strip_of
from lumenkeep.ward.chart.pages.strip_html import axis_html, strips_html

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Mapping, Sequence
    from datetime import datetime, tzinfo

    from lumenkeep.ward.chart.lines_now import LineOnWard

STRIPS_AT_ONCE = 60


@dataclass(frozen=True, slots=True)
class WardStrips:
    """What the ward view shows at one instant.

    Attributes
    ----------
    sentence, rest
        How many lines need hands now, and what comes after, in words.
    axis_html, strips_html
        Ready HTML, escaped where it was written.
    shown, total
        Strips up to and including these, and lines in all.
    """

    sentence: str
    rest: str
    axis_html: str
    strips_html: str
    shown: int
    total: int

    @property
    def left(self) -> int:
        """How many lines are not shown yet."""
        return self.total - self.shown


def ward_strips(
    rows: Sequence[LineOnWard],
    now: datetime,
    zone: tzinfo,
    href: Callable[[str], str],
    *,
    start: int = 0,
    stop: int = STRIPS_AT_ONCE,
    seen: int | None = None,
    ward_names: Mapping[str, str] | None = None,
    concerns: Mapping[str, str] | None = None,
    held_lines: Collection[str] = (),
) -> WardStrips:
    """Return the strips from ``start`` to ``stop``, the most overdue line first.

    Parameters
    ----------
    now
        The present instant (UTC).
    href
        Address of a line's page from the line's key.
    seen
        The newest entry the reader was told of; lines charted since are marked.
    ward_names
        Names to say beside the beds, when several wards stand together.
    concerns
        What somebody must act on, in a few words, by the line's key.
    held_lines
        Keys of lines that must not be used.
    """
    ranked: list[tuple[LineStanding, LineOnWard]] = sorted(
        ((_standing(row, now, zone, held_lines), row) for row in rows),
        key=lambda pair: (pair[0].order, pair[1].record.ward, pair[1].record.bed),
    )
    counts = Counter(standing.group for standing, _ in ranked)
    axis = axis_around(now, zone)
    names = ward_names or {}
    shared = lines_in_shared_beds(row.record for row in rows)
    strips = [
        strip_of(
            row.record,
            row.tasks,
            standing,
            axis,
            ward_name=names.get(row.record.ward, ""),
            is_fresh=seen is not None and row.record.last_entry > seen,
            fault=row.fault,
            concern=(concerns or {}).get(row.record.key, ""),
            shares_bed=SHARES_BED if row.record.key in shared else "",
        )
        for standing, row in ranked[start:stop]
    ]
    after = ranked[start - 1][0].group if 0 < start <= len(ranked) else ""
    sentence, rest = _sum(counts, len(ranked))
    return WardStrips(
        sentence=sentence,
        rest=rest,
        axis_html=axis_html(axis),
        strips_html=strips_html(strips, href, counts, after),
        shown=min(stop, len(ranked)),
        total=len(ranked),
    )


def _standing(
    row: LineOnWard, now: datetime, zone: tzinfo, held_lines: Collection[str]
) -> LineStanding:
    if row.fault is not None:
        found = no_answer(now)
    else:
        found = standing_of(row.tasks, now, zone)
    return held(found) if row.record.key in held_lines else found


def _sum(counts: Mapping[str, int], total: int) -> tuple[str, str]:
    """Return the counts as two sentences, the one that asks for hands first."""
    if not total:
        return "No line is in place here.", ""
    now = counts["no-answer"] + counts["dressing-now"] + counts["other-now"]
    held_now = counts[HELD]
    sentence = "No line needs hands now."
    if now:
        lines = counted(now, "line needs", "lines need")
        sentence = f"{lines} hands now, {_share(counts['dressing-now'], now)}."
    if held_now:
        held_lines = counted(held_now, "line must", "lines must")
        sentence = f"{held_lines} not be used. {sentence if now else ''}".strip()
    today = counts["today"]
    rest = f"{counted(today, 'more dressing falls', 'more dressings fall')} due today. "
    return sentence, (rest if today else "") + counted(
        total, "line in all.", "lines in all."
    )


def _share(dressings: int, now: int) -> str:
    """Return how many of the lines that need hands need them for the dressing."""
    if dressings == now:
        return "for its dressing" if now == 1 else "each for its dressing"
    if not dressings:
        return "not for the dressing"
    return f"{dressings:,} of them for the dressing"
