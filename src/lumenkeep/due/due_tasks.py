"""Work out what is due on a line."""

from __future__ import annotations

from datetime import datetime

from lumenkeep.due.task import DueTask
from lumenkeep.model import Case
from lumenkeep.policy import Policy


def due_tasks(case: Case, at: datetime, policy: Policy) -> tuple[DueTask, ...]:
    """Return every task of the line, the most urgent first, at one instant (UTC)."""
    raise NotImplementedError
