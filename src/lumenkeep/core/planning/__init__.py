"""One dressing change for one child at one instant, with reasons and questions."""

from lumenkeep.core.planning.plan import Plan
from lumenkeep.core.planning.plan_change import (
    barred_now,
    decide_change,
    plan_change,
    to_chart,
)

__all__ = ["Plan", "barred_now", "decide_change", "plan_change", "to_chart"]
