"""Branches of a set, walked, and what follows their slips, as plain values."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import pytest
from tests.asepsis_faults.orders import stage

from lumenkeep.core.asepsis.check import final_state
from lumenkeep.core.asepsis.way_back import WaysBack
from lumenkeep.core.recovery.acts import ActBook
from lumenkeep.core.recovery.handful import spares_of
from lumenkeep.core.recovery.ways_of_branch import row_of
from lumenkeep.core.rehearsal import rehearse_slips as module
from lumenkeep.core.rehearsal.rehearse import named_branches, rehearse
from lumenkeep.core.rehearsal.rehearse_slips import rehearse_ways
from lumenkeep.errors import PolicyError

if TYPE_CHECKING:
    from lumenkeep.core.asepsis.branch import Branch
    from lumenkeep.core.asepsis.procedure import Bedside


def connector(place: int = 0) -> Branch:
    here = stage()
    return named_branches(here.procedure("connector-change"), here)[place]


@lru_cache
def rows(spare: int = 1) -> list[dict[str, Any]]:
    spares = {"connector": spare, "hub-wipe": 4, "saline-syringe": 2}
    ways_back = WaysBack(stage().bedside, connector(), spares)
    book = ActBook(connector(), stage().bedside)
    found = [
        (way.step, row_of(ways_back, way, book, spares)) for way in ways_back.table()
    ]
    return [
        {**row, "step": step, "acts": [book.acts[name] for name in row["acts"]]}
        for step, row in found
    ]


def test_settings_with_the_same_steps_are_one_branch() -> None:
    found = rehearse(stage().procedure("set-change"), stage())

    assert found.is_sound
    assert len(found.branches) <= found.settings
    keys = [
        tuple((a.step.id, a.seconds) for a in one.branch.acts) for one in found.branches
    ]
    assert len(set(keys)) == len(keys)


def test_a_branch_that_the_set_cannot_plan_is_left_out() -> None:
    here = stage()
    written = here.procedure("dressing-change")
    named = (("other", (("agent", ("vinegar",)),)), *written.branches[:1])

    found = named_branches(replace(written, branches=named), here)

    assert [branch.name for branch in found] == [written.branches[0][0]]


def test_a_procedure_that_is_not_there_is_a_fault() -> None:
    with pytest.raises(PolicyError) as caught:
        stage().procedure("tea")

    [fault] = caught.value.faults
    assert fault.code == "policy-no-such-procedure"
    assert fault.where == "tea"


def test_each_row_can_be_carried_as_json() -> None:
    assert json.loads(json.dumps(rows())) == [
        {**row, "lacking": dict(row["lacking"])} for row in rows()
    ]


def test_a_way_back_says_what_comes_next_and_what_it_costs() -> None:
    touched = [r for r in rows() if r["slip"] == "tip-touched"]
    [row] = [r for r in touched if r["ending"] == "way-back"]

    assert row["acts"][0]["step"] == "say"
    assert row["then"] == row["step"]
    assert set(row["cost"]) == {"bare_s", "pieces", "acts"}
    assert row["lacking"] == {}


def test_without_the_piece_it_stops_and_says_what_is_lacking() -> None:
    touched = [r for r in rows(spare=0) if r["slip"] == "tip-touched"]

    for row in touched:
        assert (row["ending"], row["then"], row["cost"]) == ("stop", None, None)
        assert row["lacking"] == {"connector": 1}
        assert row["because"].startswith("Not in the room: 1 × connector.")
        assert row["acts"][-1]["step"] == "call-for-help"


def test_spares_name_the_slips_that_want_them_the_most_frequent_first() -> None:
    found = spares_of(stage(), connector())

    assert found["items"]["connector"] == 1
    assert "tip-touched" in found["slips"]["connector"]
    assert set(found["items"]) <= set(found["slips"])
    assert found["order"][-1]["items"] == found["items"]


def test_every_ending_is_counted() -> None:
    [one] = rehearse_ways([connector()], stage())

    assert one.faults == ()
    assert sum(count for _, count in one.endings) == len(
        list(WaysBack(stage().bedside, connector()).table())
    )


def test_a_way_back_that_breaks_a_rule_is_a_fault(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    class Skipping(WaysBack):
        def __init__(self, bedside: Bedside, branch: Branch) -> None:
            super().__init__(bedside, branch, dict.fromkeys(branch.items, 9))

        def path(self, state: Any, resumes: int) -> Any:
            found = super().path(state, resumes)
            return None if found is None else replace(found, acts=())

    monkeypatch.setattr(module, "WaysBack", Skipping)
    [one] = rehearse_ways([connector()], stage())

    assert any(fault.says.startswith("The way back breaks ") for fault in one.faults)


def test_a_stop_that_nothing_explains_is_a_fault(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    class Lost(WaysBack):
        def path(self, state: Any, resumes: int) -> None:
            del state, resumes

    monkeypatch.setattr(module, "WaysBack", Lost)
    [one] = rehearse_ways([connector()], stage())

    assert {fault.says for fault in one.faults} == {
        "It has no way back, and nothing says why: No order of steps mends it here."
    }


def test_a_wrong_agent_comes_off_before_the_site_is_covered() -> None:
    here = stage()
    branch = named_branches(here.procedure("dressing-change"), here)[0]
    ways = WaysBack(here.bedside, branch)
    place = [act.step.id for act in branch.acts].index("D14")
    [slip] = [one for one in ways.slips if one.id == "wrong-agent"]
    found = ways.way_back(place, slip)

    assert found is not None
    assert found.ending == "stop"
    assert [act.step.id for act in found.acts] == [
        "say",
        "agent-off",
        "cover-and-call",
        "call-for-help",
    ]
    assert (found.ends.residue, found.ends.site) == ("no", "not-aseptic")


def test_what_is_done_only_on_a_stop_is_no_part_of_a_way_back() -> None:
    for row in rows():
        if row["ending"] == "way-back":
            assert "agent-off" not in {act["step"] for act in row["acts"]}


def test_a_time_that_no_source_gives_is_null_and_never_nought() -> None:
    acts = [act for row in rows() for act in row["acts"]]

    assert {act["seconds"] for act in acts if act["verb"] == "say"} == {None}
    assert 0 not in {act["seconds"] for act in acts}


def test_who_stops_with_a_lumen_open_wraps_it_clamped_before_the_call() -> None:
    ways = WaysBack(stage().bedside, connector())
    place = [act.step.id for act in connector().acts].index("N7")
    stopped = ways.left_safely(ways.states[place + 1])

    assert [act.step.id for act in stopped] == ["say", "stop-hub", "call-for-help"]
    [slip] = [one for one in ways.slips if one.id == "opened-unclamped"]
    found = ways.way_back(place, slip)
    assert found is not None
    assert [act.step.id for act in ways.left_safely(found.start, slip)] == [
        "say",
        "stop-clamp",
        "stop-hub",
        "call-for-help",
    ]


@pytest.mark.parametrize("procedure", sorted(stage().bedside.procedures))
def test_who_stops_at_any_step_leaves_nobody_unsafe(procedure: str) -> None:
    here = stage()
    for branch in named_branches(here.procedure(procedure), here):
        ways = WaysBack(here.bedside, branch)
        for state in ways.states:
            ends = final_state(state, ways.left_safely(state))
            unsafe = [e.rule.id for e in branch.maker.endings if e.is_unsafe(ends)]
            assert unsafe == [], (branch.name, ends)
