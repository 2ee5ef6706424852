"""Addresses of the policy to read, below ``policy/``."""

from __future__ import annotations

from django.urls import path

from lumenkeep.ward.policies.reading.views import chart, policies, read

urlpatterns = [
    path("", policies, name="policies"),
    path("<slug:key>/read/", read, name="policy-read"),
    path("<slug:key>/chart.svg", chart, name="policy-chart"),
]
