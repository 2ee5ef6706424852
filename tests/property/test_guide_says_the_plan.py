"""Whatever the guide says of supplies, agent, counts, times and area is the plan's.

Held against the plan itself for many children, every shipped set and every answer at
the bedside, so that no number is typed twice and drifts.
"""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import asdict, replace
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import event, given, settings
from hypothesis import strategies as st
from tests.strategies import Asked, asked_and_completed

from lumenkeep.core.entries import LineState
from lumenkeep.core.model import known_or_none
from lumenkeep.core.model.case import skin_at_site
from lumenkeep.core.planning import plan_change
from lumenkeep.core.policy import load_policy
from lumenkeep.core.recovery.chosen_branch import guided_branch
from lumenkeep.core.rehearsal.procedure_files import bedside_of
from lumenkeep.demo.hospital import KESTREL, STAFF
from lumenkeep.ward.chart.line_at_hand import LineAtHand
from lumenkeep.ward.chart.records import LineRecord
from lumenkeep.ward.guide.bundle.assemble import Opened, guide_head

if TYPE_CHECKING:
    from lumenkeep.core.planning import Plan

SETS = ("quillmere", "us-guideline", "uk-guideline")
pytestmark = pytest.mark.timeout(120)
few = settings(max_examples=25)
USUAL = {"soil": "no", "securement": "keep"}
known = asked_and_completed().map(lambda pair: Asked(pair[1], pair[0].at))
answers = st.fixed_dictionaries(
    {}, optional={"soil": st.sampled_from(("no", "yes")), "securement": st.sampled_from(("keep", "change"))}
)  # fmt: skip


def opened(
    name: str, one: Asked, said: dict[str, str], procedure: str = "dressing-change"
) -> tuple[Plan, dict[str, Any]]:
    """Return the plan of a case, and the guide that is opened on it: empty for none."""
    policy = load_policy(name)
    case = one.case
    if procedure == "port-needle-change":
        case = replace(case, line=replace(case.line, kind="port", site="chest"))
    plan = plan_change(case, one.at, policy)
    event(plan.verdict)
    if plan.verdict != "plan":
        return plan, {}
    state = LineState(case, (), (), None)
    record = LineRecord("l", "c", "Demo Fern", "kestrel", "04", "left", state, 1)
    found = LineAtHand(record, KESTREL, policy)
    chosen = guided_branch(policy, bedside_of(policy), case, plan, procedure, said)
    told = Opened("run", STAFF[0], STAFF[1], "", one.at, "")
    return plan, guide_head(told, found, plan, chosen, ())


def laid(plan: Plan) -> Counter[str]:
    """Return the plan's supplies by name and size (count)."""
    counts: Counter[str] = Counter()
    for line in plan.supplies:
        size = f", size {line.size}" if line.size else ""
        counts[line.label + size] += line.count
    return counts


@pytest.mark.parametrize("name", SETS)
@few
@given(one=known, said=answers)
def test_the_supplies_are_the_plan_s_and_on_top_only_what_an_answer_asks(
    name: str, one: Asked, said: dict[str, str]
) -> None:
    plan, head = opened(name, one, said)
    if not head:
        return
    rows: Counter[str] = Counter()
    for row in head["planned"]:
        rows[row["name"]] += 0 if row.get("more") else row["count"]
    more = [row["item"] for row in head["planned"] if row.get("more")]

    assert +rows == laid(plan)
    if USUAL.items() <= said.items():
        assert more == [], more
    needed: Counter[str] = Counter()
    for step in head["steps"]:
        needed.update(step["uses"])
    there: Counter[str] = Counter()
    for row in head["planned"]:
        there[row["item"]] += row["count"]
    assert needed <= there


@pytest.mark.parametrize("procedure", ["dressing-change", "port-needle-change"])
@pytest.mark.parametrize("name", SETS)
@few
@given(one=known, said=answers)
def test_agent_swabs_seconds_area_and_dressing_are_the_plan_s_at_every_step(
    name: str, procedure: str, one: Asked, said: dict[str, str]
) -> None:
    plan, head = opened(name, one, said, procedure)
    way = plan.antiseptic
    if not head or way is None:
        return
    skin, band = head["plan"]["skin"], head["band"]

    for key, value in asdict(way).items():
        if key not in ("because", "rules"):
            assert skin[key] == (list(value) if key == "area_mm" else value), key
    assert skin["cautions"] == [remark.text for remark in plan.cautions]
    assert band["agent"] == way.label
    assert band["dressing"] == head["plan"]["put_on"]["label"]
    if procedure == "dressing-change" and plan.dressing is not None:
        assert head["plan"]["put_on"] == {
            "kind": plan.dressing.kind,
            "label": plan.dressing.label,
            "stays_words": plan.dressing.stays_words,
        }


@pytest.mark.parametrize("procedure", ["dressing-change", "port-needle-change"])
@pytest.mark.parametrize("name", SETS)
@few
@given(one=known, said=answers)
def test_each_step_takes_its_seconds_and_its_swabs_from_the_plan(
    name: str, procedure: str, one: Asked, said: dict[str, str]
) -> None:
    plan, head = opened(name, one, said, procedure)
    way = plan.antiseptic
    if not head or way is None:
        return
    shown = Counter(step["shows"] for step in head["steps"])
    assert shown["facts"] == shown["lay-out"] == shown["scrub"] == 1
    for step in head["steps"]:
        if step["shows"] == "scrub":
            assert step["seconds"] == (way.scrub_s or None)
            assert step["uses"] == {"antiseptic-swab": way.swabs}
        if step["timer"] == "dry" and step["shows"] == "dry":
            assert step["seconds"] == (way.dry_s or None)
        if step["shows"] in ("scrub", "dry", "residue", "dressing"):
            assert not re.search(r"\d", step["says"]), step["says"]


@few
@given(one=known)
def test_what_is_read_together_is_what_the_plan_was_made_of(one: Asked) -> None:
    _, head = opened("quillmere", one, {})
    facts = {row["label"]: row for row in head.get("facts", ())}
    if not facts:
        return
    child = one.case.child

    for label, fact in (
        ("Does not tolerate", child.sensitivities),
        ("Age", child.born),
        ("Gestation at birth", child.gestation_at_birth),
        ("Skin at the site", skin_at_site(one.case)),
    ):
        assert facts[label]["known"] is (known_or_none(fact) is not None), label
    known = known_or_none(child.sensitivities)
    assert head["band"]["allergies"]["words"] == (
        None if known is None else sorted(known)
    )


@pytest.mark.parametrize("name", SETS)
@few
@given(one=known)
def test_broken_skin_that_is_called_out_never_leaves_a_barred_plan_unsaid(
    name: str, one: Asked
) -> None:
    """What the steps put on is held against what is seen once the site is bare."""
    plan, head = opened(name, one, {})
    if not head or plan.antiseptic is None:
        return
    line = replace(one.case.line, skin_at_site="broken")
    then = plan_change(replace(one.case, line=line), one.at, load_policy(name))
    differs = (then.verdict, then.antiseptic and then.antiseptic.agent) != (
        plan.verdict,
        plan.antiseptic.agent,
    )
    event(f"differs: {differs}")
    said = {(turn["field"], turn["value"]): turn["says"] for turn in head["turns"]}
    if differs:
        assert said["skin", "broken"] == then.sentence
        assert said["chart-site", "skin broken"] == then.sentence
