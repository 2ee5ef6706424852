"""The life of policy versions as a Django app."""

from __future__ import annotations

from lumenkeep.ward.site import guarding


class PolicyConfig(guarding.GuardedConfig):
    """Drafts, and the steps of each version's life."""

    name = "lumenkeep.ward.versions"
    label = "policy_life"
    verbose_name = "Policy"
    guarded_by = "0002_guard_the_steps"
