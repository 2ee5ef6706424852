"""What people in the middle of a guide are told of the chart, in their words."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest
from tests.fakes.at_ward import at_ward
from tests.fakes.chart import ShippedPolicies
from tests.unit.ward.guide.test_entries import Ward

from lumenkeep.ward.chart.records import Draft
from lumenkeep.ward.guide.facts_since import NewFact, facts_since, read_mark

if TYPE_CHECKING:
    from lumenkeep.core.policy import Policy


def news(
    *drafts: tuple[str, dict[str, Any]], procedure: str = "dressing-change"
) -> list[NewFact]:
    """Return what is new after some entries were written during a guide."""
    ward = Ward()
    bundle = ward.open(procedure)
    for kind, body in drafts:
        on_line = kind not in ("birth", "weight", "sensitivities", "skin", "stay")
        draft = Draft("c-1", "l-1" if on_line else None, kind, ward.clock.at, "s", body)
        ward.chart.append([draft], "quillmere")
    run = ward.runs.kept["run-1"]
    found = facts_since(ward.at, run, bundle["facts_mark"])
    return list(found.changed)


@pytest.mark.parametrize(
    ("kind", "body", "says", "differs"),
    [
        ("sensitivities", {"known": ["chlorhexidine", "alcohol"]},
         "A sensitivity to chlorhexidine and alcohol was charted at 12:40.", True),
        ("skin", {"state": "broken"},
         "The skin at the site was charted as broken at 12:40.", True),
        ("weight", {"g": 16_500.0}, "A weight was charted at 12:40.", False),
        ("finding", {"findings": ["bleeding"]},
         "A finding on the dressing (bleeding or oozing) was charted at 12:40.", True),
        ("re-cover", {"findings": ["damp"]},
         "An emergency cover was charted at 12:40.", False),
        ("connector-change", {}, "A change of the connectors was charted at 12:40.",
         False),
        ("line-removed", {"reason": "x"},
         "The line was charted as taken out at 12:40.", True),
    ],
)  # fmt: skip
def test_what_is_new_is_said(kind, body, says, differs) -> None:
    (fact,) = news((kind, body))

    assert (fact.what, fact.plan_differs) == (says, differs)


def test_that_somebody_looked_is_not_news() -> None:
    assert news(("site-check", {}), ("line-review", {"needed": True})) == []


def test_what_is_charted_again_as_it_was_is_not_news() -> None:
    assert news(("sensitivities", {"known": []})) == []


def test_two_new_facts_are_two() -> None:
    facts = news(("weight", {"g": 16_500.0}), ("skin", {"state": "broken"}))

    assert [fact.plan_differs for fact in facts] == [False, True]


def test_an_entry_taken_back_is_said() -> None:
    ward = Ward()
    bundle = ward.open("dressing-change")
    weight = next(e for e in ward.chart.entries("l-1") if e.kind == "weight")
    taken_back = Draft(
        "c-1", None, "withdrawn", weight.happened_at, "s", {}, corrects=weight.id
    )
    ward.chart.append([taken_back], "quillmere")
    run = ward.runs.kept["run-1"]

    (fact,) = facts_since(ward.at, run, bundle["facts_mark"]).changed
    assert fact.what == "An entry was taken back at 12:40."


class ChangedPolicies(ShippedPolicies):
    """Plays a ward whose policy was changed meanwhile."""

    def in_force(self, name: str, ward: str | None = None) -> Policy:
        return replace(super().in_force(name, ward), digest="another")


def test_a_changed_policy_is_said_and_whether_it_matters() -> None:
    ward = Ward()
    bundle = ward.open("dressing-change")
    run = ward.runs.kept["run-1"]

    at = at_ward(ward.chart, ward.clock, ChangedPolicies())
    (fact,) = facts_since(at, run, bundle["facts_mark"]).changed
    assert (fact.what, fact.plan_differs) == ("The ward's policy was changed.", False)


def test_a_mark_that_is_none_knows_of_nothing() -> None:
    assert read_mark("what") == (0, "")
    ward = Ward()
    ward.open("dressing-change")
    run = ward.runs.kept["run-1"]

    found = facts_since(ward.at, run, "what")
    assert len(found.changed) > 3


def test_a_guide_s_own_entry_is_not_news_to_it() -> None:
    ward = Ward()
    bundle = ward.open("re-cover")
    draft = Draft("c-1", "l-1", "re-cover", ward.clock.at, "s", {"findings": ["damp"]})
    ward.chart.append([draft], "quillmere", submission="run-1")
    run = ward.runs.kept["run-1"]

    found = facts_since(ward.at, run, bundle["facts_mark"])
    assert found.changed == ()
