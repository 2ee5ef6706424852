"""Addresses of the pages on outcomes."""

from __future__ import annotations

from django.urls import path

from lumenkeep.ward.outcomes.pages.behind import outcome_day, outcome_days
from lumenkeep.ward.outcomes.pages.entering import (
    count_hour,
    enter_a_baseline,
    enter_a_count,
)
from lumenkeep.ward.outcomes.pages.page import outcomes, outcomes_home

urlpatterns = [
    path("", outcomes_home, name="outcomes-home"),
    path("<slug:key>/", outcomes, name="outcomes"),
    path("<slug:key>/days/", outcome_days, name="outcome-days"),
    path("<slug:key>/days/<slug:day>/", outcome_day, name="outcome-day"),
    path("<slug:key>/count/", enter_a_count, name="outcome-count"),
    path("<slug:key>/baseline/", enter_a_baseline, name="outcome-baseline"),
    path("<slug:key>/hour/", count_hour, name="outcome-hour"),
]
