"""Addresses of the pages."""

from __future__ import annotations

from django.http import HttpResponse
from django.urls import path


def _none(_: object, **__: object) -> HttpResponse:
    return HttpResponse()


urlpatterns = [
    path("", _none, name="home"),
    path("sign-out/", _none, name="sign-out"),
]
