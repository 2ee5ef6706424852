"""Look back on a ward and period: each part that is there, put together."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lumenkeep.ward.look_back.concerns import concern_sections
from lumenkeep.ward.look_back.life import life_sections
from lumenkeep.ward.look_back.outcomes import outcome_sections
from lumenkeep.ward.look_back.parts import LookBack, LookSection, TracedEntry, entry_ids
from lumenkeep.ward.look_back.policy_changes import policy_sections
from lumenkeep.ward.look_back.process import process_sections
from lumenkeep.ward.look_back.request import asked
from lumenkeep.ward.look_back.rounds import round_sections

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from datetime import date, datetime

    from lumenkeep.ward.look_back.request import LookBackRequest, LookBackSources

BUILDERS: dict[str, Callable[[LookBackRequest], tuple[LookSection, ...]]] = {
    "infections and line-days": outcome_sections,
    "changes done in time": process_sections,
    "dressing life": life_sections,
    "concerns": concern_sections,
    "line rounds": round_sections,
    "policy": policy_sections,
}
"""In the order shown; a builder returns nothing where its source is not there."""


def look_back(
    sources: LookBackSources, ward: str, first: date, last: date, at: datetime
) -> LookBack:
    """Return a ward and period looked back on.

    Parameters
    ----------
    first, last
        Both days are in the period; calendar days of the ward.
    at
        The present (UTC): nothing later counts.

    Raises
    ------
    InputError
        ``look-back-no-ward``, ``look-back-bad-period``.
    """
    what = asked(sources, ward, first, last, at)
    built = {name: build(what) for name, build in BUILDERS.items()}
    sections = tuple(section for part in built.values() for section in part)
    return LookBack(
        what.ward,
        first,
        last,
        at,
        sections[0].sentence if sections else "",
        sections,
        tuple(name for name, part in built.items() if not part),
        _traced(what, sections),
    )


def _traced(
    what: LookBackRequest, sections: Sequence[LookSection]
) -> dict[int, TracedEntry]:
    wanted = {id_ for section in sections for id_ in entry_ids(section.figures)}
    found = {}
    for entries in what.chart.values():
        line = next((e.line for e in entries if e.line is not None), None)
        for e in entries:
            if e.id in wanted:
                found[e.id] = TracedEntry(e.id, e.kind, e.line or line, e.happened_at)
    return found
