"""What travels to the bedside: steps for two people, ways back, spares, second slips."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from functools import lru_cache
from typing import Any

import pytest
from tests.unit.ward.guide.test_entries import Ward

from lumenkeep.core.asepsis.branch import laid_out
from lumenkeep.core.asepsis.effects import applied
from lumenkeep.core.asepsis.way_back import WaysBack
from lumenkeep.core.policy import load_policy
from lumenkeep.core.recovery.handful import often_of
from lumenkeep.core.recovery.ways_of_branch import BranchKey, work_out_ways
from lumenkeep.core.rehearsal.procedure_files import bedside_of
from lumenkeep.core.rehearsal.stage import Stage
from lumenkeep.ward.guide.practice_guide import thrown_in

DAY = date(2026, 11, 25)
WORDS = {"technique": ("non-touch",), "soil": ("no",)}


def stage() -> Stage:
    policy = load_policy("quillmere")
    return Stage(policy, bedside_of(policy), DAY)


@lru_cache(maxsize=1)
def worked_out() -> tuple[WaysBack, dict[str, Any]]:
    """The shortest connector change: its ways back as carried, and the engine's own."""
    here = stage()
    written = here.procedure("connector-change")
    branch = laid_out(written, here.bedside, here.setting(written, WORDS))
    question = BranchKey.of(branch, often_of(here.bedside, DAY))
    found: dict[str, Any] = {}
    last = -1.0
    for said in work_out_ways(question, here.bedside, second=True):
        assert said.get("progress", 2) > last
        last = said.get("progress", last)
        found |= said.get("done", {}) | said.get("more", {})
    return WaysBack(here.bedside, branch, found["spares"]), found


def test_every_slip_at_every_step_has_its_way() -> None:
    ways_back, found = worked_out()
    told = {(step, row["slip"]) for step, rows in found["ways"].items() for row in rows}

    assert told == {(way.step, way.slip.id) for way in ways_back.table()}


def test_every_act_that_is_named_is_there() -> None:
    _, found = worked_out()
    rows = [row for rows in found["ways"].values() for row in rows]
    rows += [row["unfinished"] for row in rows if "unfinished" in row]
    rows += found["ways_in_ways"]["rows"]

    named = {act for row in rows for act in row["acts"]} | set(found["stop"]["acts"])
    assert named == set(found["acts"])
    assert {row["slip"] for row in rows} <= set(found["slips"])


def test_a_stop_is_told_by_step_and_after_a_slip() -> None:
    ways_back, found = worked_out()

    ids = [act.step.id for act in ways_back.branch.acts]
    assert set(found["stop"]["at"]) == set(ids)
    told = [*found["stop"]["at"].values()]
    told += [r["stop"] for rows in found["ways"].values() for r in rows if "stop" in r]
    for acts in told:
        steps = [found["acts"][name]["step"] for name in acts]
        assert (steps[0], steps[-1]) == ("say", "call-for-help")
    assert {found["slips"][slip.id]["redo"] for slip in ways_back.slips} != {""}


def test_with_the_spares_laid_out_no_slip_sends_anybody_out() -> None:
    _, found = worked_out()

    for rows in found["ways"].values():
        for row in rows:
            for story in (row, row.get("unfinished", row)):
                assert story["lacking"] == {}
                assert all(found["spares"][i] >= n for i, n in story["needs"].items())


def test_a_second_slip_asks_what_the_engine_says() -> None:
    ways_back, found = worked_out()
    table = found["ways_in_ways"]
    first = next(w for w in ways_back.table() if f"{w.step}/{w.slip.id}" in table["of"])
    group = table["groups"][table["of"][f"{first.step}/{first.slip.id}"]]
    for at in range(1, len(first.acts)):
        told = {
            table["rows"][n]["slip"]: [
                found["acts"][act]["step"] for act in table["rows"][n]["acts"]
            ]
            for n in group.get(str(at), [])
        }
        again = [ways_back.again(first, at, slip) for slip in ways_back.slips]
        assert told == {
            one.slip.id: [act.step.id for act in one.acts] for one in again if one
        }


def test_after_a_way_back_no_later_slip_is_led_astray() -> None:
    """Every way that the guide would show next keeps the rules where it then stands."""
    ways_back, found = worked_out()
    table, acts = found["ways_in_ways"], ways_back.branch.acts
    undisturbed = {(w.place, w.slip.id): w for w in ways_back.table()}
    seen, disturbed = set(), 0
    for first in undisturbed.values():
        if first.ending != "way-back":
            continue
        row = next(r for r in found["ways"][first.step] if r["slip"] == first.slip.id)
        group = table["of"][f"{first.step}/{first.slip.id}"]
        ids = [act.step.id for act in acts]
        steady = ids.index(row["steady"]) if row["steady"] else len(acts)
        assert set(table["after"][group]) == set(ids[first.resumes : steady])
        state = ways_back.with_plenty(first.ends)
        for place in range(first.resumes, len(acts)):
            after = applied(state, acts[place])
            if (place, state[:-1]) not in seen:
                seen.add((place, state[:-1]))
                longer = replace(
                    first, place=place, start=state, acts=(acts[place],),
                    resumes=place + 1,
                )  # fmt: skip
                again = [ways_back.again(longer, 0, slip) for slip in ways_back.slips]
                possible = {one.slip.id: one for one in again if one}
                if place < steady:
                    disturbed += 1
                    rows = table["after"][group][ids[place]]
                    told = {table["rows"][n]["slip"] for n in rows}
                    assert told == set(possible)
                    assert not any(
                        ways_back.breaks(one)
                        for one in possible.values()
                        if one.ending == "way-back"
                    )
                else:
                    for slip, one in possible.items():
                        way = undisturbed[place, slip]
                        if way.ending == "way-back":
                            assert not ways_back.breaks(replace(way, start=one.start))
            state = after
    assert disturbed


def test_a_way_back_takes_no_spare_that_the_steps_bring() -> None:
    _, found = worked_out()
    needs = {row["slip"]: row["needs"] for row in found["ways"]["N3"] if row["needs"]}

    assert all("clean-gloves" in items for items in needs.values())


def test_the_longest_branch_is_taken_where_nothing_is_known() -> None:
    bundle = Ward().open("connector-change")
    steps = [step["id"] for step in bundle["steps"]]

    assert {"N3s", "N8a"} <= set(steps)
    assert bundle["plan"]["cautions"][:2] == [
        "The technique was not said: masks, field and sterile gloves.",
        "Whether the site is soiled was not said: the steps wash it.",
    ]


def step_of(bundle: dict[str, Any], name: str) -> dict[str, Any]:
    return next(step for step in bundle["steps"] if step["id"] == name)


def test_each_half_says_what_its_person_does() -> None:
    bundle = Ward().open("dressing-change", soil="no", securement="keep")
    scrub = step_of(bundle, "D13")

    assert scrub["operator"]["do"] == scrub["says"]
    assert scrub["assistant"] == {
        "do": None,
        "then": "Wait.",
        "watch": "Watch the field: nothing crosses it. "
        "The site is open: nobody talks over it.",
    }
    assert (scrub["timer"], scrub["seconds"], scrub["drawing"]) == (
        "scrub", 30, "back-and-forth",
    )  # fmt: skip


def test_a_hub_that_is_open_is_no_open_site_and_a_number_ends_no_sentence() -> None:
    steps = Ward().open("connector-change")["steps"]
    watched = " ".join(step["assistant"]["watch"] or "" for step in steps)
    told = [step["operator"]["then"] for step in steps]

    assert "The hub is open: nobody talks over it." in watched
    assert "The site is open" not in watched
    assert (
        "Open the pack, first flap away from the body, touching only the outer 2.5 cm."
    ) in told


def test_the_drying_ends_by_the_clock_and_by_a_look() -> None:
    bundle = Ward().open("dressing-change", soil="no", securement="keep")

    assert step_of(bundle, "D14")["timer"] == "dry"
    assert step_of(bundle, "D15")["look"]["asks"] == (
        "Is the skin dry? What shines is wet."
    )


def test_new_facts_are_asked_for_on_the_last_step_before_the_scrub() -> None:
    bundle = Ward().open("dressing-change", soil="no", securement="keep")
    steps = [step["id"] for step in bundle["steps"]]
    asks = [step["id"] for step in bundle["steps"] if step["checks_facts"]]

    assert asks == [steps[steps.index("D13") - 1]]


def test_what_is_called_out_fills_the_entry() -> None:
    bundle = Ward().open("dressing-change", soil="no", securement="keep")
    length = step_of(bundle, "D5")["charted"][0]
    entry = {one["field"]: one for one in bundle["entry"]["fields"]}

    assert (length["field"], length["type"], length["previous"]) == (
        "chart-external-length", "mm", "20 mm on 21 November",
    )  # fmt: skip
    assert entry["chart-external-length"]["from"] == "D5"
    assert entry["chart-external-length"]["required"]
    assert entry["chart-tolerance"]["from"] is None


def test_what_the_guide_knows_itself_is_not_asked() -> None:
    bundle = Ward().open("dressing-change", soil="no", securement="keep")

    assert step_of(bundle, "D13")["charted"] == []
    assert step_of(bundle, "D15")["charted"] == []


def test_the_site_is_open_from_the_peel_to_the_cover() -> None:
    bundle = Ward().open("dressing-change", soil="no", securement="keep")
    bare = [step["verb"] for step in bundle["steps"] if step["bare"]]

    assert (bare[0], bare[-1]) == ("peel", "cover")


def test_gloves_are_laid_out_in_the_size_that_fits() -> None:
    bundle = Ward().open("dressing-change", soil="no", securement="keep")
    names = {one["item"]: one["name"] for one in bundle["lay_out"]}

    assert names["sterile-gloves"].endswith(", size 8")
    assert names["antiseptic-swab"] == "Swabs of chlorhexidine in alcohol"


@pytest.mark.parametrize("seed", range(12))
def test_slips_thrown_in_come_from_the_real_tables(seed: int) -> None:
    _, found = worked_out()
    order = list(found["ways"])
    thrown = thrown_in(found["ways"], order, seed)
    endings = [
        next(
            r["ending"] for r in found["ways"][one["step"]] if r["slip"] == one["slip"]
        )
        for one in thrown
    ]

    assert thrown == thrown_in(found["ways"], order, seed)
    assert 1 <= len(thrown) <= 3
    assert set(endings[:-1]) <= {"way-back"}
    assert len({one["slip"] for one in thrown}) == len(thrown)
