"""Addresses of the pages about concerns; each names a ward or a line by its key."""

from __future__ import annotations

from django.urls import path

from lumenkeep.ward.chart.pages.kind_form import chart_any
from lumenkeep.ward.concerns.pages.concern import concern, take
from lumenkeep.ward.concerns.pages.forms import close, hand_on, raise_by_hand
from lumenkeep.ward.concerns.pages.ward import handover, ward_list

CONCERN = "line/<slug:key>/concern/<str:concern>/"

urlpatterns = [
    path("ward/<slug:key>/concerns/", ward_list, name="ward-concerns"),
    path("ward/<slug:key>/handover/", handover, name="ward-handover"),
    path("line/<slug:key>/look/", chart_any, {"kind": "site-check"}, name="look"),
    path("line/<slug:key>/raise/", raise_by_hand, name="concern-raise"),
    path(CONCERN, concern, name="concern"),
    path(f"{CONCERN}take/", take, name="concern-take"),
    path(f"{CONCERN}hand-on/", hand_on, name="concern-hand-on"),
    path(f"{CONCERN}close/", close, name="concern-close"),
]
