"""Decide one dressing change."""

from __future__ import annotations

from datetime import datetime

from lumenkeep.model import Case
from lumenkeep.planning.plan import Plan
from lumenkeep.policy import Policy


def plan_change(case: Case, at: datetime, policy: Policy) -> Plan:
    """Return the change plan for one case at one instant (UTC)."""
    raise NotImplementedError
