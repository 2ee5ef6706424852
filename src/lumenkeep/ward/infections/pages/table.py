"""What was charted about an infection, day by day: the drawing as a table, with links."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from lumenkeep.core.entries.said import label_of
from lumenkeep.core.model.chart import roots_of, standing
from lumenkeep.core.outcomes.admissions import admissions_of, belonging
from lumenkeep.ward.chart.pages.entry_words import particulars
from lumenkeep.ward.infections.pages.words import day_words
from lumenkeep.ward.site.pages.shapes import Told

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import date, tzinfo

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.core.outcomes.protocol import Protocol
    from lumenkeep.core.outcomes.timeline import Timeline

SHOWN = (
    "stay", "line-inserted", "line-removed", "line-tip", "line-access", "specimen",
    "organism", "sign", "blood-count", "gut", "condition", "device", "pus", "self-injection",
)  # fmt: skip


TableDay = tuple[str, str, bool, list[Told]]
"""A day, its hospital day, whether it is that of the event, and what was charted."""


def table_of_days(
    entries: Sequence[Entry],
    span: tuple[date, date],
    event_on: date | None,
    timeline: Timeline,
    protocol: Protocol,
    zone: tzinfo,
    hrefs: Mapping[int, str],
) -> tuple[TableDay, ...]:
    """Return the days of a span on which something was charted.

    Parameters
    ----------
    hrefs
        Where each entry stands, by its id.
    """
    admissions = admissions_of(timeline)
    days: dict[date, list[Told]] = {}
    for entry in with_results(entries):
        local = entry.happened_at.astimezone(zone)
        day = local.date()
        if entry.kind not in SHOWN or not span[0] <= day <= span[1]:
            continue
        said = particulars(entry, {}, zone)
        what = label_of(entry.kind) + (f": {said}" if said else "")
        days.setdefault(day, []).append(
            Told(f"{local:%H:%M}", what, hrefs.get(entry.id, ""))
        )
    found = []
    for day, told in sorted(days.items()):
        home = belonging(admissions, day, protocol).admission
        number = str(home.number(day)) if home else ""
        found.append((day_words(day), number, day == event_on, told))
    return tuple(found)


def with_results(entries: Sequence[Entry]) -> list[Entry]:
    """Return what stands, each specimen with the result that came for it last."""
    roots = roots_of(entries)
    counted = standing(entries)
    results: dict[int, Entry] = {}
    for entry in sorted(counted, key=lambda e: e.id):
        specimen = entry.body.get("specimen")
        if entry.kind == "specimen-result" and specimen is not None:
            results[roots.get(specimen, specimen)] = entry
    found = []
    for entry in counted:
        result = results.get(roots[entry.id]) if entry.kind == "specimen" else None
        body = entry.body if result is None else {**entry.body, **result.body}
        found.append(replace(entry, body=body))
    return found
