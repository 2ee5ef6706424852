"""The chart as a Django app."""

from __future__ import annotations

from typing import Any

from django.apps import AppConfig
from django.db.models.signals import post_migrate


class ChartConfig(AppConfig):
    """Storage of the chart, the policies it was charted under, and the staff."""

    name = "lumenkeep.web.chart"
    label = "chart"
    verbose_name = "Chart"

    def ready(self) -> None:
        """Put the guards back whenever a migration has remade their tables."""
        post_migrate.connect(_guard_again, sender=self)


def _guard_again(using: str, **_: Any) -> None:
    from django.db import connections

    from lumenkeep.web.chart.guards import guard_if_migrated

    guard_if_migrated(connections[using])
