"""Policy as data: read, check and look up a hospital's dated, sourced rules."""

from lumenkeep.policy.call import whom_to_call
from lumenkeep.policy.cell import Cells, turning_ages
from lumenkeep.policy.conditions import LiveComparison, LiveWhen
from lumenkeep.policy.files import DEFAULT_SET, load_policy, shipped_sets
from lumenkeep.policy.intervals import Window, window_for
from lumenkeep.policy.plausible import (
    mass_counts_until,
    narrowed,
    weighed_anew,
    weighing_rule,
)
from lumenkeep.policy.policy import (
    BOOKS_KEPT,
    MOST_KEPT,
    LiveRule,
    Policy,
    RuleBook,
    keep,
)
from lumenkeep.policy.rules import Rule, Source
from lumenkeep.policy.situation import Situation
from lumenkeep.policy.truth import Truth, all_of, any_of

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
