"""Addresses of line rounds."""

from __future__ import annotations

from django.urls import path

from lumenkeep.ward.rounds.pages.look import look
from lumenkeep.ward.rounds.pages.results import results
from lumenkeep.ward.rounds.pages.walk import walk

urlpatterns = [
    path("ward/<slug:key>/round/", walk, name="round"),
    path("ward/<slug:key>/rounds/", results, name="rounds"),
    path("line/<slug:key>/round/", look, name="round-look"),
]
