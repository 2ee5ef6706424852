"""Addresses of the pages; a line is named by its key, which says nothing of a child."""

from __future__ import annotations

from django.urls import include, path

from lumenkeep.web.pages.chart_a_kind import (
    chart_a_change,
    chart_a_task,
    chart_any,
    move_a_child,
)
from lumenkeep.web.pages.guide.prepare import prepare
from lumenkeep.web.pages.views.correct import correct
from lumenkeep.web.pages.views.enter_a_line import enter_a_line
from lumenkeep.web.pages.views.line import line
from lumenkeep.web.pages.views.plan import plan, plan_spares
from lumenkeep.web.pages.views.sign_in import ChangePassword, SignIn, SignOut
from lumenkeep.web.pages.views.ward import home, strips, ward
from lumenkeep.web.pages.watch.dressing_life import dressing_life_page
from lumenkeep.web.pages.watch.measuring_error import measuring_error_page

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
    path("", include("lumenkeep.web.pages.concerns.urls")),
    path("guide/", include("lumenkeep.web.pages.guide.shell_urls")),
    path("guide/", include("lumenkeep.web.pages.guide.urls")),
    path("infections/", include("lumenkeep.web.pages.infections.urls")),
    path("outcomes/", include("lumenkeep.web.pages.outcomes.urls")),
    path("", include("lumenkeep.web.pages.rounds.urls")),
    path("dressing-life/<slug:key>/", dressing_life_page, name="dressing-life"),
    path("measuring-error/<slug:key>/", measuring_error_page, name="measuring-error"),
    path("look-back/", include("lumenkeep.web.pages.look_back.urls")),
    path("policy/", include("lumenkeep.web.pages.policy.urls")),
    path("policy/", include("lumenkeep.web.pages.policy_reading.urls")),
    path("policy/", include("lumenkeep.web.pages.recovery.urls")),
]
