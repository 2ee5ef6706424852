"""Line rounds as a Django app."""

from __future__ import annotations

from lumenkeep.ward.site import guarding


class RoundsConfig(guarding.GuardedConfig):
    """Looks of line rounds."""

    name = "lumenkeep.ward.rounds"
    label = "rounds"
    verbose_name = "Line rounds"
    guarded_by = "0002_guard_the_looks"
