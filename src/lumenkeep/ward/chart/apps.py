"""The chart as a Django app."""

from __future__ import annotations

from lumenkeep.ward.site import guarding


class ChartConfig(guarding.GuardedConfig):
    """Storage of the chart, the policies it was charted under, and the staff."""

    name = "lumenkeep.ward.chart"
    label = "chart"
    verbose_name = "Chart"
    guarded_by = "0002_guard_what_was_written"
