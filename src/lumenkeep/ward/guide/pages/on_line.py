"""The guide on the page of a line: what can be guided, and how guided work went."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lumenkeep.core.rehearsal.procedure_files import bedside_of
from lumenkeep.ward.guide.pages.desk import runs
from lumenkeep.ward.guide.pages.prepare import CHANGE, guide_links
from lumenkeep.ward.guide.pages.told_words import guides_told

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from datetime import datetime

    from lumenkeep.core.model.entry import Entry
    from lumenkeep.ward.chart.line_at_hand import LineAtHand


def guides_of(
    found: LineAtHand,
    entries: Iterable[Entry],
    names: Mapping[str, str],
    now: datetime,
) -> dict[str, Any]:
    """Return what the page of a line shows of the guide.

    Parameters
    ----------
    names
        Names of staff by key, for the screen.
    """
    bedside = bedside_of(found.policy, now.astimezone(found.ward.zone).date())
    is_in = found.record.state.removed_at is None
    told = [entry for entry in entries if "guide" in entry.body]
    return {
        "guide_links": guide_links(found) if is_in else (),
        "guide_first": CHANGE,
        "guided": guides_told(
            told,
            runs().accounts_on(found.record.key) if told else (),
            {name: one.title for name, one in bedside.procedures.items()},
            {name: item.label for name, item in bedside.items.items()},
            names,
            now,
            found.ward.zone,
        ),
    }
