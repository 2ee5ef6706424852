"""Addresses of the pages; a line is named by its key, which says nothing of a child."""

from __future__ import annotations

from django.urls import include, path

from lumenkeep.ward.chart.pages.correct import correct
from lumenkeep.ward.chart.pages.enter_a_line import enter_a_line
from lumenkeep.ward.chart.pages.kind_form import (
    chart_a_change,
    chart_a_task,
    chart_any,
    move_a_child,
)
from lumenkeep.ward.concerns.pages.lengths import measuring_error_page
from lumenkeep.ward.guide.pages.prepare import prepare
from lumenkeep.ward.outcomes.pages.dressing_life import dressing_life_page
from lumenkeep.web.pages.line import line
from lumenkeep.web.pages.plan import plan, plan_spares
from lumenkeep.web.pages.sign_in import ChangePassword, SignIn, SignOut
from lumenkeep.web.pages.ward import home, strips, ward

urlpatterns = [
    path("", home, name="home"),
    path("sign-in/", SignIn.as_view(), name="sign-in"),
    path("password/", ChangePassword.as_view(), name="password"),
    path("sign-out/", SignOut.as_view(), name="sign-out"),
    path("ward/<slug:key>/", ward, name="ward"),
    path("ward/<slug:key>/strips/", strips, name="ward-strips"),
    path("ward/<slug:key>/new-line/", enter_a_line, name="enter-line"),
    path("line/<slug:key>/", line, name="line"),
    path("line/<slug:key>/plan/", plan, name="plan"),
    path("line/<slug:key>/plan/spares/", plan_spares, name="plan-spares"),
    path("line/<slug:key>/guide/", prepare, name="guide-prepare"),
    path("line/<slug:key>/chart/change/", chart_a_change, name="chart-change"),
    path(
        "line/<slug:key>/chart/finding/",
        chart_any,
        {"kind": "finding"},
        name="chart-finding",
    ),
    path("line/<slug:key>/chart/task/<slug:task>/", chart_a_task, name="chart-task"),
    path("line/<slug:key>/chart/fact/<slug:kind>/", chart_any, name="chart-fact"),
    path("line/<slug:key>/chart/<slug:kind>/", chart_any, name="chart-kind"),
    path("line/<slug:key>/entry/<int:entry>/correct/", correct, name="correct"),
    path("line/<slug:key>/move/", move_a_child, name="move-child"),
    path("line/<slug:key>/out/", chart_any, {"kind": "line-removed"}, name="line-out"),
    path("", include("lumenkeep.ward.concerns.pages.urls")),
    path("guide/", include("lumenkeep.ward.guide.pages.shell_urls")),
    path("guide/", include("lumenkeep.ward.guide.pages.urls")),
    path("infections/", include("lumenkeep.ward.infections.pages.urls")),
    path("outcomes/", include("lumenkeep.ward.outcomes.pages.urls")),
    path("", include("lumenkeep.ward.rounds.pages.urls")),
    path("dressing-life/<slug:key>/", dressing_life_page, name="dressing-life"),
    path("measuring-error/<slug:key>/", measuring_error_page, name="measuring-error"),
    path("look-back/", include("lumenkeep.ward.look_back.pages.urls")),
    path("policy/", include("lumenkeep.ward.policies.pages.urls")),
    path("policy/", include("lumenkeep.ward.policies.reading.urls")),
    path("policy/", include("lumenkeep.ward.policies.recovery.urls")),
]
