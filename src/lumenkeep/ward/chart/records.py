"""What the chart hands out and takes in. Nothing here knows of a database."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from lumenkeep.core.entries import LineState


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
