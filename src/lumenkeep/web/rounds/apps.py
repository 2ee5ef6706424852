"""Line rounds as a Django app."""

from __future__ import annotations

from typing import Any

from django.apps import AppConfig
from django.db.models.signals import post_migrate


class RoundsConfig(AppConfig):
    """Looks of line rounds."""

    name = "lumenkeep.web.rounds"
    label = "rounds"
    verbose_name = "Line rounds"

    def ready(self) -> None:
        """Put the guards back whenever a migration has remade the table."""
        post_migrate.connect(_guard_again, sender=self)


def _guard_again(using: str, **_: Any) -> None:
    from django.db import connections

    from lumenkeep.web.rounds.guards import GUARDS

    GUARDS.guard_if_migrated(connections[using])
