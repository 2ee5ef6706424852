"""The life of policy versions as a Django app."""

from __future__ import annotations

from django.apps import AppConfig


class PolicyConfig(AppConfig):
    """Drafts, and the steps of each version's life."""

    name = "lumenkeep.ward.versions"
    label = "policy_life"
    verbose_name = "Policy"

    def ready(self) -> None:
        """Put the guards back whenever a migration has remade their table."""
        from lumenkeep.ward.versions.guards import GUARDS

        GUARDS.stand_again_after_migrations(self)
