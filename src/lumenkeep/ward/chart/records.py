"""What the chart hands out and takes in. Nothing here knows of a database."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from lumenkeep.core.entries import LineState
from lumenkeep.core.model import known_or_none, words


@dataclass(frozen=True, slots=True)
class LineRecord:
    """A line as the wards know it: where it lies, and its state folded from entries.

    ``child_name`` and ``bed`` are for the screen only; they never go into a message
    or a log. ``last_entry`` is the id of the newest entry the state includes.
    """

    key: str
    child: str
    child_name: str
    ward: str
    bed: str
    side: str | None
    state: LineState
    last_entry: int

    @property
    def bed_words(self) -> str:
        """The bed, or that nobody charted one."""
        return self.bed or "not charted"

    @property
    def words(self) -> str:
        """The line in words, as in "PICC, left upper arm, 2 lumens"."""
        line = self.state.case.line
        kind, site = known_or_none(line.kind), known_or_none(line.site)
        place = words.SITES.get(site, site) if site else "site not charted"
        if site and self.side:
            place = f"{self.side} {place[:1].lower()}{place[1:]}"
        lumens = known_or_none(line.lumens)
        kind_words = words.LINE_KINDS.get(kind, kind) if kind else "Kind not charted"
        parts = [kind_words, place]
        if lumens is not None:
            parts.append("1 lumen" if lumens == 1 else f"{lumens} lumens")
        return ", ".join(parts)


@dataclass(frozen=True, slots=True)
class Draft:
    """An entry about to be written."""

    child: str
    line: str | None
    kind: str
    happened_at: datetime
    by: str
    body: Mapping[str, Any]
    corrects: int | None = None
