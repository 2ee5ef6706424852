"""Addresses of the policy pages."""

from __future__ import annotations

from django.urls import path

from lumenkeep.ward.policies.pages.draft import draft, export, hand_over, put_away
from lumenkeep.ward.policies.pages.edit_about import about, new_source, order
from lumenkeep.ward.policies.pages.edit_number import number
from lumenkeep.ward.policies.pages.edit_rule import new_rule, rule
from lumenkeep.ward.policies.pages.effects import (
    child,
    children,
    comparison,
    proof,
    stop_it,
    stop_version,
    version_children,
    version_comparison,
)
from lumenkeep.ward.policies.pages.import_file import bring
from lumenkeep.ward.policies.pages.overview import overview, start
from lumenkeep.ward.policies.pages.version import (
    approve_it,
    call_it_off,
    export_version,
    retire_it,
    start_it,
    version,
)

DRAFT = "draft/<slug:key>/"
VERSION = "version/<int:id_>/"

urlpatterns = [
    path("changes/", overview, name="policy"),
    path("changes/start/", start, name="policy-start"),
    path(DRAFT, draft, name="policy-draft"),
    path(DRAFT + "number/<str:id_>/", number, name="policy-number"),
    path(DRAFT + "rule/<slug:kind>/<str:id_>/", rule, name="policy-rule"),
    path(DRAFT + "new/<slug:kind>/", new_rule, name="policy-new-rule"),
    path(DRAFT + "order/<slug:which>/", order, name="policy-order"),
    path(DRAFT + "about/", about, name="policy-about"),
    path(DRAFT + "source/", new_source, name="policy-source"),
    path(DRAFT + "proof/", proof, name="policy-proof"),
    path(DRAFT + "comparison/", comparison, name="policy-comparison"),
    path(DRAFT + "stop/", stop_it, name="policy-stop"),
    path(DRAFT + "children/", children, name="policy-children"),
    path(DRAFT + "child/<slug:name>/<int:place>/", child, name="policy-child"),
    path(DRAFT + "file/", export, name="policy-export"),
    path(DRAFT + "file/bring/", bring, name="policy-import"),
    path(DRAFT + "hand-over/", hand_over, name="policy-hand-over"),
    path(DRAFT + "put-away/", put_away, name="policy-put-away"),
    path(VERSION, version, name="policy-version"),
    path(VERSION + "approve/", approve_it, name="policy-approve"),
    path(VERSION + "start/", start_it, name="policy-in-force"),
    path(VERSION + "retire/", retire_it, name="policy-retire"),
    path(VERSION + "comparison/", version_comparison, name="policy-version-comparison"),
    path(VERSION + "stop/", stop_version, name="policy-version-stop"),
    path(VERSION + "children/", version_children, name="policy-version-children"),
    path(VERSION + "file/", export_version, name="policy-version-file"),
    path("step/<int:id_>/call-off/", call_it_off, name="policy-call-off"),
]
