"""Policy as data: read, check and look up a hospital's dated, sourced rules."""

from lumenkeep.core.policy.call import whom_to_call
from lumenkeep.core.policy.cell import Cells, turning_ages
from lumenkeep.core.policy.conditions import LiveComparison, LiveWhen
from lumenkeep.core.policy.files import DEFAULT_SET, load_policy, shipped_sets
from lumenkeep.core.policy.intervals import Window, window_for
from lumenkeep.core.policy.plausible import (
    mass_counts_until,
    narrowed,
    weighed_anew,
    weighing_rule,
)
from lumenkeep.core.policy.policy import (
    BOOKS_KEPT,
    MOST_KEPT,
    LiveRule,
    Policy,
    RuleBook,
    keep,
)
from lumenkeep.core.policy.rules import Rule, Source
from lumenkeep.core.policy.situation import Situation
from lumenkeep.core.policy.truth import Truth, all_of, any_of

__all__ = [
    "BOOKS_KEPT",
    "DEFAULT_SET",
    "MOST_KEPT",
    "Cells",
    "LiveComparison",
    "LiveRule",
    "LiveWhen",
    "Policy",
    "Rule",
    "RuleBook",
    "Situation",
    "Source",
    "Truth",
    "Window",
    "all_of",
    "any_of",
    "keep",
    "load_policy",
    "mass_counts_until",
    "narrowed",
    "shipped_sets",
    "turning_ages",
    "weighed_anew",
    "weighing_rule",
    "whom_to_call",
    "window_for",
]
