"""Counts and baselines as a Django app."""

from __future__ import annotations

from lumenkeep.ward.site import guarding


class OutcomesConfig(guarding.GuardedConfig):
    """Hours of the count, counts by hand and baselines."""

    name = "lumenkeep.ward.outcomes"
    label = "outcomes"
    verbose_name = "Outcomes"
    guarded_by = "0002_guard_what_was_entered"
