"""Addresses of the recovery steps, below ``policy/``."""

from __future__ import annotations

from django.urls import path

from lumenkeep.ward.policies.recovery.views import breaks, recovery, steps

urlpatterns = [
    path("<slug:key>/breaks/", breaks, name="breaks"),
    path("<slug:key>/breaks/<slug:slip>/", recovery, name="recovery"),
    path("<slug:key>/breaks/<slug:slip>/steps/", steps, name="recovery-steps"),
]
