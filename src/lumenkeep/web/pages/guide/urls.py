"""Addresses of the guide; all but the page to prepare it lie under ``guide/``."""

from __future__ import annotations

from django.urls import path

from lumenkeep.web.pages.guide.open_run import bundle, open_run, practice, token

urlpatterns = [
    path("token", token, name="guide-token"),
    path("practice/bundle", practice, name="guide-practice"),
    path("runs/", open_run, name="guide-open"),
    path("runs/<slug:run>/bundle", bundle, name="guide-bundle"),
]
