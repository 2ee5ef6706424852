"""Watching as a Django app."""

from __future__ import annotations

from django.apps import AppConfig


class WatchConfig(AppConfig):
    """Lines that may have an open concern."""

    name = "lumenkeep.web.watch"
    label = "watch"
    verbose_name = "Watch"

    def ready(self) -> None:
        """Be told of every line that changes."""
        from lumenkeep.web.chart.follow import follow
        from lumenkeep.web.watch.keep import keep_open_lines

        follow(keep_open_lines)
