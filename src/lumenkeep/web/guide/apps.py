"""Opened guides as a Django app."""

from __future__ import annotations

from typing import Any

from django.apps import AppConfig
from django.db.models.signals import post_migrate


class GuideConfig(AppConfig):
    """Runs of the guide, and the accounts that came of them."""

    name = "lumenkeep.web.guide"
    label = "guide"
    verbose_name = "Guide"

    def ready(self) -> None:
        """Put the guards back whenever a migration has remade their tables."""
        post_migrate.connect(_guard_again, sender=self)


def _guard_again(using: str, **_: Any) -> None:
    from django.db import connections

    from lumenkeep.web.guide.guards import guard_if_migrated

    guard_if_migrated(connections[using])
