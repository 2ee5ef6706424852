"""The pages as a Django app: templates and static files lie in this package."""

from __future__ import annotations

from django.apps import AppConfig


class WebConfig(AppConfig):
    """The web application's own templates, static files and template tags."""

    name = "lumenkeep.web"
    label = "web"
    verbose_name = "Lumenkeep"
