"""What falls due on a line, as a plain frozen value."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class DueTask:
    """One task on one line, seen from one instant; all instants in UTC.

    Attributes
    ----------
    task
        From the policy's vocabulary: "dressing", "connector", "set", "port-needle",
        "line-review", "site-check", "line-stay".
    kind
        Kind of dressing or set, where there are several.
    state
        "overdue", "due" (now: by a finding, because what is on may not stay on, or
        because the last time, or a rule, is unknown),
        "may-now" (inside its window), "too-early" (before ``not_before``), "later",
        or "on-finding" (no clock runs: it waits for a finding).
    since
        When it was last done; None when unknown.
    not_before
        Doing it earlier is too early; None where no such limit exists.
    due_at
        By when it must be done; None where only a finding makes it due.
    overdue_since
        Set once ``due_at`` has passed, or since the finding that made it due.
    why
        Reasons in words, the weightiest first.
    asks
        Questions whose answers would settle what is not known, as whether a bar holds.
    """

    task: str
    label: str
    kind: str | None
    state: str
    since: datetime | None
    not_before: datetime | None
    due_at: datetime | None
    overdue_since: datetime | None
    why: tuple[str, ...]
    rules: tuple[str, ...]
    sources: tuple[str, ...]
    asks: tuple[str, ...] = ()

    @property
    def is_now(self) -> bool:
        """Whether hands are needed now."""
        return self.state in ("overdue", "due")
