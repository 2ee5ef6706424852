"""Line rounds as a Django app."""

from __future__ import annotations

from django.apps import AppConfig


class RoundsConfig(AppConfig):
    """Looks of line rounds."""

    name = "lumenkeep.ward.rounds"
    label = "rounds"
    verbose_name = "Line rounds"

    def ready(self) -> None:
        """Put the guards back whenever a migration has remade the table."""
        from lumenkeep.ward.rounds.guards import GUARDS

        GUARDS.stand_again_after_migrations(self)
