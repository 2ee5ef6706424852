"""The life of policy versions as a Django app."""

from __future__ import annotations

from typing import Any

from django.apps import AppConfig
from django.db.models.signals import post_migrate


class PolicyConfig(AppConfig):
    """Drafts, and the steps of each version's life."""

    name = "lumenkeep.web.policy"
    label = "policy_life"
    verbose_name = "Policy"

    def ready(self) -> None:
        """Put the guards back whenever a migration has remade their table."""
        post_migrate.connect(_guard_again, sender=self)


def _guard_again(using: str, **_: Any) -> None:
    from django.db import connections

    from lumenkeep.web.policy.guards import guard_if_migrated

    guard_if_migrated(connections[using])
