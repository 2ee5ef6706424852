"""The chart as a Django app."""

from __future__ import annotations

from django.apps import AppConfig


class ChartConfig(AppConfig):
    """Storage of the chart, the policies it was charted under, and the staff."""

    name = "lumenkeep.ward.chart"
    label = "chart"
    verbose_name = "Chart"

    def ready(self) -> None:
        """Put the guards back whenever a migration has remade their tables."""
        from lumenkeep.ward.chart.guards import GUARDS

        GUARDS.stand_again_after_migrations(self)
