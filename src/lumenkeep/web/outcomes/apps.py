"""Counts and baselines as a Django app."""

from __future__ import annotations

from typing import Any

from django.apps import AppConfig
from django.db.models.signals import post_migrate


class OutcomesConfig(AppConfig):
    """Hours of the count, counts by hand and baselines."""

    name = "lumenkeep.web.outcomes"
    label = "outcomes"
    verbose_name = "Outcomes"

    def ready(self) -> None:
        """Put the guards back whenever a migration has remade their tables."""
        post_migrate.connect(_guard_again, sender=self)


def _guard_again(using: str, **_: Any) -> None:
    from django.db import connections

    from lumenkeep.web.outcomes.guards import guard_if_migrated

    guard_if_migrated(connections[using])
