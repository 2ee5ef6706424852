"""Plans that a clinician would not have handed to a nurse, and what they say now.

Every child is invented. Limits: CDC 2017 (impregnated dressings, premature newborns),
Garland 2009 (1500 g), the label's care for babies born early and under 2 months (2012),
MHRA 2014 (the least that will do); sizes of film, how old a weighing may be and how long
a pad waits after an early birth (44 weeks at the least): common practice.
"""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from tests.unit.core.planning.test_plan_change import (
    AT,
    SIX_YEARS,
    THREE_WEEKS,
    child,
    planned,
    supply,
)

SETS = ("quillmere", "us-guideline", "uk-guideline")
THREE_YEARS = timedelta(days=3 * 366)


def weighed(grams: float, days_ago: float = 0) -> dict[str, Any]:
    at = (AT - timedelta(days=days_ago)).isoformat()
    return {"weights": [{"at": at, "g": grams}]}


@pytest.mark.parametrize("policy", SETS)
def test_no_set_lays_a_pad_on_a_small_baby_born_early(policy: str) -> None:
    who = child(timedelta(days=62), gestation_at_birth="24w0d", **weighed(1450))
    who["unit"] = "newborn-intensive-care"

    kind = getattr(planned(who, policy).dressing, "kind", None)

    assert kind not in ("transparent-chg-gel", "transparent-chg-disc")


@pytest.mark.parametrize(
    ("days", "weeks", "grams", "kind"),
    [
        (62, "24w0d", 1450, "transparent"),
        (62, "24w0d", 3000, "transparent"),
        (182, "36w6d", 5000, "transparent"),
        (183, "36w6d", 5000, "transparent-chg-gel"),
        (62, "37w0d", 1500, "transparent-chg-gel"),
        (62, "37w0d", 1499, "transparent"),
    ],
)
def test_the_demos_pad_waits_for_gestation_age_and_mass(
    days: int, weeks: str, grams: float, kind: str
) -> None:
    who = child(timedelta(days=days), gestation_at_birth=weeks, **weighed(grams))

    assert getattr(planned(who).dressing, "kind", "") == kind


def test_each_reason_against_the_pad_is_named() -> None:
    born_early = child(timedelta(days=62), gestation_at_birth="24w0d", **weighed(1450))
    grown = child(timedelta(days=200), gestation_at_birth="24w0d", **weighed(4200))

    plan = planned(born_early)

    assert plan.dressing is not None
    assert plan.dressing.kind == "transparent"
    assert {e.rule for e in plan.not_for_this_child} == {
        "chg-pad-early",
        "chg-pad-small",
    }
    assert getattr(planned(grown).dressing, "kind", "") == "transparent-chg-gel"


@pytest.mark.parametrize("policy", ["quillmere", "uk-guideline"])
@pytest.mark.parametrize(("weeks", "grams"), [("30w0d", 1150), ("30w0d", 1600)])
def test_the_groin_of_the_smallest_is_scrubbed_no_longer_than_a_dry_site(
    policy: str, weeks: str, grams: float
) -> None:
    who = child(timedelta(days=8), gestation_at_birth=weeks, **weighed(grams))

    way = planned(who, policy, site="femoral").antiseptic

    assert way is not None
    assert way.agent == "chlorhexidine-alcohol"
    assert (way.scrub_s, way.dry_s) == (30, 60)
    assert any("with the least that will do" in text for text in way.because)


def test_the_groin_of_others_is_scrubbed_for_the_time_of_the_label() -> None:
    way = planned(child(THREE_WEEKS), site="femoral").antiseptic

    assert way is not None
    assert (way.scrub_s, way.dry_s) == (120, 60)


def test_the_sentence_names_the_substance_that_is_barred() -> None:
    alcohol = planned(child(SIX_YEARS, sensitivities=["alcohol"]))
    both = planned(child(SIX_YEARS, sensitivities=["alcohol", "chlorhexidine"]))

    assert alcohol.sentence == (
        "Two people. Povidone-iodine, then sterile saline. "
        "Clear film with chlorhexidine gel pad. No alcohol."
    )
    assert both.sentence.endswith("Clear film. No chlorhexidine. No alcohol.")


def test_a_weighing_of_nine_days_ago_does_not_decide_for_a_growing_baby() -> None:
    old = planned(child(timedelta(days=20), **weighed(1010, 9)))
    fresh = planned(child(timedelta(days=20), **weighed(1010, 2)))

    assert (fresh.verdict, getattr(fresh.antiseptic, "agent", "")) == (
        "plan",
        "chlorhexidine-alcohol",
    )
    assert (old.verdict, old.until_known) == ("ask", "povidone-iodine")
    assert [q.ask for q in old.questions if q.fact == "mass"] == [
        "What does the child weigh now? The last weighing is too old to count."
    ]
    assert "the mass is 1010 g, weighed 9 days ago" in old.questions[0].because


def test_an_old_weighing_still_says_how_little_the_baby_may_weigh() -> None:
    assert planned(child(timedelta(days=20), **weighed(3500, 9))).verdict == "plan"


@pytest.mark.parametrize(
    ("days", "weighed_ago", "grams", "asked", "blocks"),
    [
        (9, 9, 1000, True, False),
        (9, 2, 1000, False, None),
        (9, 9, 3500, False, None),
        (12, 2, 1010, False, None),
        (12, 4, 1010, True, True),
        (20, 9, 1010, True, True),
        (40, 9, 1010, True, True),
        (70, 9, 2100, False, None),
        (200, 15, 1600, True, False),
    ],
)
def test_an_old_weighing_is_asked_again_where_it_decides(
    days: int, weighed_ago: int, grams: float, asked: bool, blocks: bool | None
) -> None:
    who = child(
        timedelta(days=days), gestation_at_birth="30w0d", **weighed(grams, weighed_ago)
    )

    plan = planned(who)

    found = [q for q in plan.questions if q.fact == "mass"]
    assert bool(found) is asked
    assert [q.blocks for q in found] == ([blocks] if asked else [])
    assert plan.verdict == ("ask" if blocks else "plan")


def test_the_mass_of_the_birth_may_stand_in_the_first_days_and_is_doubted() -> None:
    (question,) = planned(child(timedelta(days=9), **weighed(1000, 9))).questions

    assert question.ask == "What does the child weigh now? Weigh before the change."
    assert question.because.startswith(
        "The mass is 1000 g, weighed 9 days ago; another might change this plan."
    )


def test_the_answer_says_when_the_weighing_will_count_no_more() -> None:
    plan = planned(child(timedelta(days=20), **weighed(1010, 2)))

    assert plan.changes_later[0].at == AT + timedelta(days=1)


@pytest.mark.parametrize("policy", SETS)
def test_nobody_calls_the_neonatologist_for_a_three_year_old(policy: str) -> None:
    every = ["chlorhexidine", "iodine", "alcohol"]
    plan = planned(child(THREE_YEARS, sensitivities=every, **weighed(14_000)), policy)

    assert plan.verdict == "stop"
    assert "neonatologist" not in plan.sentence


def test_the_neonatologist_is_called_for_a_newborn() -> None:
    plan = planned(child(THREE_WEEKS, sensitivities=["chlorhexidine", "iodine"]))

    assert plan.call == "the vascular access nurse and the neonatologist on call"


def test_an_age_is_told_as_a_nurse_says_it() -> None:
    plan = planned(child(timedelta(days=4, hours=3, minutes=17)))

    (reason,) = plan.excluded
    assert reason.because == "Younger than 7 days (4 days)."


@pytest.mark.parametrize(
    ("age", "grams", "area", "film"),
    [
        (timedelta(days=20), 900, (40, 50), "40 × 40 mm"),
        (timedelta(days=20), 1499, (40, 50), "40 × 40 mm"),
        (timedelta(days=20), 3500, (51, 76), "60 × 70 mm"),
        (THREE_YEARS, 14_000, (51, 76), "60 × 70 mm"),
        (SIX_YEARS, 20_000, (90, 110), "80 × 100 mm"),
    ],
)
def test_the_area_follows_the_childs_size_and_the_film(age, grams, area, film) -> None:
    plan = planned(child(age, **weighed(grams)))

    assert plan.antiseptic is not None
    assert plan.antiseptic.area_mm == area
    item = "clear-film-gel" if age in (THREE_YEARS, SIX_YEARS) else "clear-film"
    assert [line.size for line in supply(plan, item)] == [film]


def test_of_a_child_never_weighed_every_film_that_may_suit_counts() -> None:
    plan = planned(child(timedelta(days=20), weights=[], sensitivities=["iodine"]))
    known = planned(child(timedelta(days=400), weights=[]))

    assert plan.verdict == "ask"
    assert known.antiseptic is not None
    assert known.antiseptic.area_mm == (51, 76)


@pytest.mark.parametrize("policy", SETS)
@pytest.mark.parametrize(
    ("substance", "gone"),
    [
        (
            "adhesive",
            {"securement", "barrier-film", "sterile-strips", "tape", "clear-film"},
        ),
        ("silicone", {"adhesive-remover", "barrier-film"}),
        ("gel", {"clear-film-gel"}),
    ],
)
def test_nothing_of_what_is_not_tolerated_is_laid_out(
    policy: str, substance: str, gone: set[str]
) -> None:
    plan = planned(child(SIX_YEARS, sensitivities=[substance]), policy)

    laid_out = {line.item for line in plan.supplies}
    assert plan.verdict == "plan"
    assert not laid_out & gone
    assert ("bandage" in laid_out) is (substance == "adhesive")


@pytest.mark.parametrize("policy", SETS)
@pytest.mark.parametrize("found", ["discharge", "sodden"])
def test_no_film_and_no_pad_is_laid_over_pus_or_sodden_skin(
    policy: str, found: str
) -> None:
    plan = planned(child(SIX_YEARS), policy, dressing={"findings": [found]})

    assert plan.verdict == "plan"
    assert getattr(plan.dressing, "kind", "") == "gauze"
    assert supply(plan, "clear-film") == supply(plan, "clear-film-gel") == []
    assert supply(plan, "gauze-dressing")


@pytest.mark.parametrize("policy", ["quillmere", "uk-guideline"])
@pytest.mark.parametrize("kind", ["umbilical-venous", "umbilical-arterial"])
def test_the_film_of_an_umbilical_line_never_covers_the_stump(
    policy: str, kind: str
) -> None:
    who = child(timedelta(days=9))

    umbilical = planned(who, policy, kind=kind, site="umbilical")
    other = planned(who, policy)

    assert getattr(umbilical.dressing, "kind", "") == "transparent"
    rule = "umbilical-film-on-the-belly"
    assert [c.rule for c in umbilical.cautions].count(rule) == 1
    assert rule not in {c.rule for c in other.cautions}


@pytest.mark.parametrize("policy", SETS)
def test_a_port_without_a_needle_is_said_to_have_no_dressing(policy: str) -> None:
    resting = planned(child(SIX_YEARS), policy, kind="port", needle_in=False)
    accessed = planned(child(SIX_YEARS), policy, kind="port", needle_in=True)

    assert "port-without-needle" in {c.rule for c in resting.cautions}
    assert "port-without-needle" not in {c.rule for c in accessed.cautions}


@pytest.mark.parametrize("policy", SETS)
def test_no_caution_tells_of_a_remover_that_is_not_laid_out(policy: str) -> None:
    who = child(SIX_YEARS, sensitivities=["adhesive", "silicone"])

    plan = planned(who, policy)

    assert supply(plan, "adhesive-remover") == []
    assert not any("with remover" in one.text for one in plan.cautions)
