"""Addresses of the pages on infections; an infection is named by its blood's entry."""

from __future__ import annotations

from django.urls import path

from lumenkeep.ward.chart.pages.kind_form import chart_infection
from lumenkeep.ward.infections.pages.lists import line_infections, ward_infections
from lumenkeep.ward.infections.pages.one import infection

urlpatterns = [
    path("ward/<slug:key>/", ward_infections, name="infections"),
    path("blood/<int:event>/", infection, name="infection"),
    path("line/<slug:key>/", line_infections, name="line-infections"),
    path("line/<slug:key>/chart/<slug:kind>/", chart_infection, name="chart-infection"),
]
