"""Addresses of the look-back."""

from __future__ import annotations

from django.urls import path

from lumenkeep.ward.look_back.pages.views import behind, home, paper, ward

urlpatterns = [
    path("", home, name="look-back-home"),
    path("<slug:key>/", ward, name="look-back"),
    path("<slug:key>/pdf/", paper, name="look-back-pdf"),
    path("<slug:key>/<slug:section>/<slug:figure>/", behind, name="look-back-behind"),
]
