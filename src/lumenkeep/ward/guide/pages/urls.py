"""Addresses of the guide; all but the page to prepare it lie under ``guide/``."""

from __future__ import annotations

from django.urls import path

from lumenkeep.ward.guide.pages.accounts import account, facts, give_up
from lumenkeep.ward.guide.pages.open_run import bundle, open_run, practice, token

urlpatterns = [
    path("token", token, name="guide-token"),
    path("practice/bundle", practice, name="guide-practice"),
    path("runs/", open_run, name="guide-open"),
    path("runs/<slug:run>/bundle", bundle, name="guide-bundle"),
    path("runs/<slug:run>/facts", facts, name="guide-facts"),
    path("runs/<slug:run>/account", account, name="guide-account"),
    path("runs/<slug:run>/give-up", give_up, name="guide-give-up"),
]
