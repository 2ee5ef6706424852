"""What is called out once the site is bare, and makes the plan another one."""

from __future__ import annotations

from tests.unit.ward.guide.test_entries import Ward

from lumenkeep.ward.chart.records import Draft


def turns(ward: Ward, procedure: str = "dressing-change") -> dict[tuple[str, str], str]:
    found = ward.open(procedure)["turns"]
    return {(one["field"], one["value"]): one["says"] for one in found}


def test_broken_skin_is_another_plan_by_whichever_field_it_is_called_out() -> None:
    said = turns(Ward())

    assert "No chlorhexidine" in said["skin", "broken"]
    assert said["chart-site", "skin broken"] == said["skin", "broken"]


def test_a_film_over_bleeding_is_another_plan() -> None:
    said = turns(Ward())

    assert "Gauze" in said["chart-site", "bleeding"]
    assert said["findings", "bleeding"] == said["chart-site", "bleeding"]


def test_what_changes_nothing_is_not_asked_about() -> None:
    said = turns(Ward())

    assert ("chart-site", "healthy") not in said
    assert ("skin", "intact") not in said
    assert ("findings", "damp") not in said


def test_what_the_plan_already_counts_on_is_not_asked_about() -> None:
    ward = Ward()
    seen = {"signs": ["skin-broken"]}
    look = Draft("c-1", "l-1", "site-check", ward.clock.at, "s-flint", seen)
    ward.chart.append([look], "quillmere")

    assert ("skin", "broken") not in turns(ward)


def test_a_procedure_that_leaves_the_skin_alone_asks_nothing() -> None:
    assert turns(Ward(), "connector-change") == {}
