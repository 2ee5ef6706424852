"""Watching as a Django app."""

from __future__ import annotations

from django.apps import AppConfig


class WatchConfig(AppConfig):
    """Lines that may have an open concern."""

    name = "lumenkeep.ward.concerns"
    label = "watch"
    verbose_name = "Watch"

    def ready(self) -> None:
        """Be told of every line that changes."""
        from lumenkeep.ward.chart.store.follow import follow
        from lumenkeep.ward.concerns.keep import keep_open_lines

        follow(keep_open_lines)
