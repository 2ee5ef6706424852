"""Addresses of the web application: the pages, where they are installed."""

from __future__ import annotations

from importlib.util import find_spec

from django.urls import URLPattern, URLResolver, include, path

PAGES = "lumenkeep.web.pages.urls"


def _has_pages() -> bool:
    try:
        return find_spec(PAGES) is not None
    except ModuleNotFoundError:
        return False


urlpatterns: list[URLPattern | URLResolver] = []
if _has_pages():
    urlpatterns.append(path("", include(PAGES)))
    handler400 = "lumenkeep.ward.chart.pages.line_head.cannot_be_done"
