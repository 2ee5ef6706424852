"""Opened guides as a Django app."""

from __future__ import annotations

from lumenkeep.ward.site import guarding


class GuideConfig(guarding.GuardedConfig):
    """Runs of the guide, and the accounts that came of them."""

    name = "lumenkeep.ward.guide"
    label = "guide"
    verbose_name = "Guide"
    guarded_by = "0002_guard_what_was_told"
