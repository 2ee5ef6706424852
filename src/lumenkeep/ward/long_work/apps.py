"""Long work as a Django app."""

from __future__ import annotations

from django.apps import AppConfig


class LongWorkConfig(AppConfig):
    """Jobs, and the workers that do them."""

    name = "lumenkeep.ward.long_work"
    label = "work"
    verbose_name = "Long work"
