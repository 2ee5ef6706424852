"""One dressing change for one child at one instant, with reasons and questions."""

from lumenkeep.planning.plan import Plan
from lumenkeep.planning.plan_change import plan_change

__all__ = ["Plan", "plan_change"]
