"""Opened guides as a Django app."""

from __future__ import annotations

from django.apps import AppConfig


class GuideConfig(AppConfig):
    """Runs of the guide, and the accounts that came of them."""

    name = "lumenkeep.ward.guide"
    label = "guide"
    verbose_name = "Guide"

    def ready(self) -> None:
        """Put the guards back whenever a migration has remade their tables."""
        from lumenkeep.ward.guide.guards import GUARDS

        GUARDS.stand_again_after_migrations(self)
