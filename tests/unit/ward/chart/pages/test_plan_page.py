"""A plan as its page says it: nothing twice, every reason under what it bars."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from lumenkeep.core.model import (
    Birth,
    Case,
    Child,
    Gestation,
    Line,
    People,
    Person,
    Weight,
)
from lumenkeep.core.planning import Plan, plan_change
from lumenkeep.core.policy import load_policy
from lumenkeep.ward.chart.pages.plan_page import PlanPage, plan_page

NOW = datetime(2026, 11, 24, 15, 40, tzinfo=UTC)
CASE = Case(
    Child(
        born=Birth.at(NOW - timedelta(days=6, hours=2)),
        gestation_at_birth=Gestation.read("27w3d"),
        weights=(Weight(NOW - timedelta(hours=9), 940),),
        sensitivities=frozenset(),
        skin_at_site="intact",
        unit="newborn-intensive-care",
    ),
    Line(kind="picc", site="upper-arm", lumens=1),
    People(Person("6.5"), Person("7")),
    UTC,
)


def _plan(**child: object) -> Plan:
    changed = replace(CASE, child=replace(CASE.child, **child))  # type: ignore[arg-type]
    return plan_change(changed, NOW, load_policy("quillmere"))


def _page(plan: Plan) -> PlanPage:
    labels = {key: a.label for key, a in load_policy("quillmere").agents.items()}
    return plan_page(plan, UTC, labels, lambda fact: f"/chart/{fact}/")


def test_the_reasons_stand_under_what_they_bar() -> None:
    page = _page(_plan())

    bars = {bar.title: len(bar.rows) for bar in page.barred}
    assert bars == {"chlorhexidine 2 % in alcohol": 3}
    assert page.motion == "outward-circles"
    assert any("gel pad" in bar.title for bar in page.also_barred)


def test_each_person_has_gloves_and_the_masks_a_distance() -> None:
    page = _page(_plan())

    assert [row.amount for row in page.people] == ["gloves 6.5", "gloves 7"]
    assert page.people_heading == "2 people"


def test_what_must_be_fetched_stands_apart_from_the_kit() -> None:
    page = _page(_plan())

    assert all(row.is_fetch for row in page.lay_out)
    assert not any(row.is_fetch for row in page.in_kit)
    assert any("povidone" in row.what.lower() for row in page.lay_out)


def test_a_question_leads_to_where_it_is_charted() -> None:
    from lumenkeep.core.model import NOT_GIVEN

    page = _page(_plan(weights=(), gestation_at_birth=NOT_GIVEN, born=NOT_GIVEN))

    asked = {asked.fact: href for asked, href in (*page.asks_first, *page.asks)}
    assert asked["mass"] == "/chart/mass/"


def test_a_stop_names_whom_to_call_once() -> None:
    plan = _plan(sensitivities=frozenset({"chlorhexidine", "iodine"}))
    page = _page(plan)

    assert page.is_stop
    assert plan.call
    assert page.lines[0] == "Stop."
    assert plan.call not in " ".join(page.lines)


@pytest.mark.parametrize("item", ["changes_later", "excluded"])
def test_a_plan_without_them_shows_none(item: str) -> None:
    page = _page(replace(_plan(), **{item: ()}))

    assert page.later == () if item == "changes_later" else page.barred == ()
