"""Addresses of the guide's shell, all below /guide/, which is the worker's scope."""

from __future__ import annotations

from django.urls import path

from lumenkeep.ward.guide.pages.shell import beat, manifest, shell, worker

urlpatterns = [
    path("", shell, name="guide-shell"),
    path("worker.js", worker, name="guide-worker"),
    path("beat.js", beat, name="guide-beat"),
    path("app.webmanifest", manifest, name="guide-manifest"),
]
