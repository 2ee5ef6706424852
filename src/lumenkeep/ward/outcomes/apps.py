"""Counts and baselines as a Django app."""

from __future__ import annotations

from django.apps import AppConfig


class OutcomesConfig(AppConfig):
    """Hours of the count, counts by hand and baselines."""

    name = "lumenkeep.ward.outcomes"
    label = "outcomes"
    verbose_name = "Outcomes"

    def ready(self) -> None:
        """Put the guards back whenever a migration has remade their tables."""
        from lumenkeep.ward.outcomes.guards import GUARDS

        GUARDS.stand_again_after_migrations(self)
