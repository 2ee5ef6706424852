"""One entry of the chart, and the state of a line derived from its entries.

The chart is append-only: an entry is never changed. A correction is a new entry
that names the one it corrects; from then on the corrected one no longer counts.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

INFECTION_KINDS = (
    "specimen",
    "specimen-result",
    "sign",
    "blood-count",
    "gut",
    "other-infection",
    "condition",
    "transplant",
    "device",
    "pus",
    "self-injection",
    "infection-decision",
)
"""What is charted of a child to determine an infection."""

CHILD_KINDS = ("birth", "weight", "sensitivities", "skin", "stay", *INFECTION_KINDS)
CONCERN_KINDS = (
    "concern-raised",
    "concern-acknowledged",
    "concern-handed-on",
    "concern-closed",
)
"""What people do about a concern; the concern itself is computed, never stored."""
LINE_KINDS_OF_ENTRY = (
    "line-inserted",
    "dressing-change",
    "re-cover",
    "finding",
    "connector-change",
    "set-change",
    "needle-change",
    "line-review",
    "site-check",
    "line-removed",
    "line-tip",
    "line-access",
    *CONCERN_KINDS,
)
ENTRY_KINDS = (*CHILD_KINDS, *LINE_KINDS_OF_ENTRY, "withdrawn")
"""``withdrawn`` takes back the entry it corrects and puts nothing in its place."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing that was seen or done.

    Parameters
    ----------
    id
        Number in the order of writing.
    child, line
        Pseudonymous keys; ``line`` is None for what concerns the child alone.
    kind
        One of `ENTRY_KINDS`.
    happened_at, written_at
        When it was so, and when it was written down (UTC).
    by
        Pseudonymous key of the person who wrote it.
    policy
        Set, version and digest it was charted under.
    corrects
        Id of the entry that this one replaces, if any.
    body
        The particulars, by kind: see `lumenkeep.model.chart`.
    """

    id: int
    child: str
    line: str | None
    kind: str
    happened_at: datetime
    written_at: datetime
    by: str
    policy: str
    corrects: int | None
    body: Mapping[str, Any]
