"""Findings, tasks, facts, corrections, and the ward as it is now."""

from __future__ import annotations

from datetime import timedelta

import pytest
from tests.fakes.at_ward import at_ward
from tests.fakes.by_hand import (
    chart_entry,
    chart_fact,
    chart_finding,
    chart_look,
    chart_task,
    correct_entry,
    withdraw_entry,
)
from tests.fakes.chart import ShippedPolicies, chart_with_a_line, first_drafts
from tests.fakes.clock import NOON, FixedClock
from tests.unit.ward.chart.test_chart_change import GOOD

from lumenkeep.core.model.times import Birth
from lumenkeep.errors import ChartError
from lumenkeep.ward.chart.lines_now import line_story, replay_plan, ward_now
from lumenkeep.ward.site.people import StaffRecord

POLICIES = ShippedPolicies()
NURSE = StaffRecord("s-1", "Demo Flint", "nurse", "kestrel", "7")
OTHER = StaffRecord("s-2", "Demo Chalk", "nurse", "kestrel", "6")
CHARGE = StaffRecord("s-3", "Demo Basalt", "charge-nurse", "kestrel", "7.5")


@pytest.fixture
def clock() -> FixedClock:
    return FixedClock()


@pytest.fixture
def chart(clock):
    return chart_with_a_line(clock)


def _codes(caught) -> dict[str, str]:
    return {fault.where: fault.code for fault in caught.value.faults}


def _find(chart, clock, findings, typed=None):
    return chart_finding(
        chart,
        POLICIES,
        clock,
        line="l-1",
        findings=findings,
        typed=typed or {},
        by="s-1",
    )


def test_a_damp_dressing_makes_the_line_due_at_once(chart, clock) -> None:
    (before,) = ward_now(at_ward(chart, clock), NOON, "kestrel")
    _find(chart, clock, ["damp"])
    (after,) = ward_now(at_ward(chart, clock), NOON, "kestrel")

    assert not any(t.task == "dressing" and t.is_now for t in before.tasks)
    assert any(t.task == "dressing" and t.is_now for t in after.tasks)


def test_a_finding_of_this_very_second_counts_at_once(chart, clock) -> None:
    clock.move(seconds=20)
    _find(chart, clock, ["damp"])

    (line,) = ward_now(at_ward(chart, clock), clock.now(), "kestrel")

    assert line.tasks[0].task == "dressing"
    assert line.tasks[0].is_now


def test_the_change_that_follows_says_why_it_came_early(chart, clock) -> None:
    from lumenkeep.ward.chart.line_at_hand import likely_reason, line_at_hand

    _find(chart, clock, ["loose"])

    assert likely_reason(line_at_hand(at_ward(chart, clock), "l-1")) == "loose"


@pytest.mark.parametrize(
    ("findings", "typed", "faults"),
    [
        ([], {}, {"findings": "chart-missing"}),
        (["odd"], {}, {"findings": "chart-unknown-word"}),
        (
            [],
            {"found-at": "2026-11-25T13:00"},
            {"findings": "chart-missing", "found-at": "chart-in-the-future"},
        ),
    ],
)
def test_an_impossible_finding_is_refused(
    chart, clock, findings, typed, faults
) -> None:
    with pytest.raises(ChartError) as caught:
        _find(chart, clock, findings, typed)

    assert _codes(caught) == faults


def _task(chart, clock, task, **typed):
    return chart_task(
        chart, POLICIES, clock, line="l-1", task=task, typed=typed, by="s-1"
    )


def test_a_set_needs_to_be_told_what_runs_through_it(chart, clock) -> None:
    with pytest.raises(ChartError) as caught:
        _task(chart, clock, "set", set="main")
    assert _codes(caught) == {"set-kind": "chart-missing"}

    (entry,) = _task(chart, clock, "set", **{"set": "fat", "set-kind": "lipid"})
    assert entry.body == {"set": "fat", "kind": "lipid"}
    assert chart.line("l-1").state.case.line.sets[0].kind == "lipid"


def test_connectors_review_and_look_are_charted(chart, clock) -> None:
    _task(chart, clock, "connector")
    _task(chart, clock, "line-review", **{"still-needed": "yes"})
    chart_look(
        chart, POLICIES, clock,
        line="l-1", signs=["healthy"], typed={"looked-at": "2026-11-25T08:05"}, by="s-1",
    )  # fmt: skip

    line = chart.line("l-1").state.case.line
    assert line.connectors_changed == NOON
    assert line.reviewed == NOON
    assert line.inspected == NOON - timedelta(hours=3, minutes=55)


def test_only_a_port_has_a_needle(chart, clock) -> None:
    with pytest.raises(ChartError) as caught:
        _task(chart, clock, "port-needle")

    assert _codes(caught) == {"task": "chart-not-a-port"}


def test_an_unknown_task_is_refused(chart, clock) -> None:
    with pytest.raises(ChartError) as caught:
        chart_entry(
            chart, POLICIES, clock, line="l-1", kind="polish", typed={}, by="s-1"
        )

    assert _codes(caught) == {"kind": "chart-no-such-fact"}


def _fact(chart, clock, fact, chosen=(), **typed):
    typed = {k.replace("_", "-"): v for k, v in typed.items()}
    return chart_fact(
        chart, POLICIES, clock,
        line="l-1", fact=fact, typed=typed, chosen=chosen, by="s-1",
    )  # fmt: skip


def test_facts_reach_the_child(chart, clock) -> None:
    _fact(chart, clock, "weight", weight_g="16 900 g".replace(" ", ""))
    _fact(chart, clock, "sensitivities", ["chlorhexidine"])
    _fact(chart, clock, "skin", skin="broken")
    _fact(chart, clock, "birth", born="2022-08-17", gestation="38w")

    case = chart.line("l-1").state.case
    child = case.child
    assert child.weights[-1].grams == 16_900
    assert child.sensitivities == {"chlorhexidine"}
    assert case.line.skin_at_site == "broken"
    assert str(child.gestation_at_birth) == "38w"
    assert isinstance(child.born, Birth)
    assert not child.born.is_exact


@pytest.mark.parametrize("typed", ["16.4", "164000", "1640"])
def test_a_weight_in_the_wrong_unit_is_refused(chart, clock, typed) -> None:
    with pytest.raises(ChartError) as caught:
        _fact(chart, clock, "weight", weight_g=typed)

    assert _codes(caught) == {"weight-g": "chart-out-of-range"}


def test_none_known_is_a_fact_and_contradicts_a_sensitivity(chart, clock) -> None:
    (entry,) = _fact(chart, clock, "sensitivities", ["none"])
    assert entry.body == {"known": []}

    with pytest.raises(ChartError) as caught:
        _fact(chart, clock, "sensitivities", ["none", "iodine"])
    assert _codes(caught) == {"sensitivities": "chart-contradiction"}


def test_a_wrong_gestation_and_a_birth_to_come_are_refused_together(
    chart, clock
) -> None:
    with pytest.raises(ChartError) as caught:
        _fact(chart, clock, "birth", born="2027-01-01", gestation="27w9d")

    assert _codes(caught) == {
        "born": "chart-in-the-future",
        "gestation": "chart-bad-gestation",
    }


def _last_change(chart) -> int:
    return next(e.id for e in chart.written_entries if e.kind == "dressing-change")


def test_a_correction_replaces_the_change_it_names(chart, clock) -> None:
    typed = {
        **GOOD,
        "chart-changed-at": "2026-11-21T12:00",
        "chart-external-length": "23",
    }

    (entry,) = correct_entry(
        chart, POLICIES, clock,
        line="l-1", entry=_last_change(chart), typed=typed, by=NURSE,
    )  # fmt: skip

    state = chart.line("l-1").state
    assert entry.corrects == _last_change(chart)
    assert len(state.changes) == 1
    assert state.lengths[-1] == (NOON - timedelta(days=4), 23.0)


def test_a_correction_is_checked_like_any_form(chart, clock) -> None:
    with pytest.raises(ChartError) as caught:
        correct_entry(
            chart, POLICIES, clock,
            line="l-1", entry=_last_change(chart), by=NURSE,
            typed={**GOOD, "chart-external-length": "2000"},
        )  # fmt: skip

    assert _codes(caught) == {"chart-external-length": "chart-out-of-range"}


def test_an_entry_is_corrected_once(chart, clock) -> None:
    entry = _last_change(chart)
    withdraw = {"because-wrong": "other child"}
    withdraw_entry(
        chart, POLICIES, clock, line="l-1", entry=entry, typed=withdraw, by=NURSE
    )

    with pytest.raises(ChartError) as caught:
        withdraw_entry(
            chart, POLICIES, clock, line="l-1", entry=entry, typed=withdraw, by=CHARGE
        )

    assert _codes(caught) == {"entry": "chart-corrected-already"}
    assert chart.line("l-1").state.changes == ()


def test_a_nurse_corrects_only_what_she_wrote_a_charge_nurse_all(chart, clock) -> None:
    entry = _last_change(chart)
    withdraw = {"because-wrong": "other child"}

    with pytest.raises(ChartError) as caught:
        withdraw_entry(
            chart, POLICIES, clock, line="l-1", entry=entry, typed=withdraw, by=OTHER
        )

    assert _codes(caught) == {"entry": "chart-not-yours"}
    assert withdraw_entry(
        chart, POLICIES, clock, line="l-1", entry=entry, typed=withdraw, by=CHARGE
    )


def test_a_mistyped_weight_is_not_held_against_its_correction(chart, clock) -> None:
    from lumenkeep.ward.chart.records import Draft

    (wrong,) = chart.append(
        [Draft("c-1", None, "weight", NOON, "s-1", {"g": 164_000.0})], "quillmere"
    )
    correct_entry(
        chart, POLICIES, clock,
        line="l-1", entry=wrong.id, typed={"weight-g": "16400"}, by=NURSE,
    )  # fmt: skip

    assert chart.line("l-1").state.case.child.weights[-1].grams == 16_400


def test_the_most_pressing_line_comes_first(clock) -> None:
    chart = chart_with_a_line(clock)
    for number, days in ((2, 9), (3, 8)):
        chart.lines[f"l-{number}"] = f"c-{number}"
        drafts = first_drafts(child=f"c-{number}", line=f"l-{number}")
        late = drafts[-1]
        drafts[-1] = type(late)(
            late.child, late.line, late.kind, NOON - timedelta(days=days), late.by,
            late.body,
        )  # fmt: skip
        chart.append(drafts, "quillmere")

    order = [line.record.key for line in ward_now(at_ward(chart, clock), NOON, None)]

    assert order.index("l-2") < order.index("l-3")


def test_a_faulty_policy_leaves_the_lines_on_the_ward_view(clock) -> None:
    from dataclasses import replace

    chart = chart_with_a_line(clock)
    chart.all_wards = [replace(w, policy_set="nowhere") for w in chart.all_wards]

    (line,) = ward_now(at_ward(chart, clock), NOON, None)

    assert line.tasks == ()
    assert line.fault.code == "policy-not-found"


def test_the_story_shows_what_was_corrected_by_what(chart, clock) -> None:
    entry = _last_change(chart)
    (back,) = withdraw_entry(
        chart,
        POLICIES,
        clock,
        line="l-1",
        entry=entry,
        typed={"because-wrong": "x"},
        by=NURSE,
    )

    story = line_story(at_ward(chart, clock), NOON, "l-1")

    assert story.corrected_by == {entry: back.id}
    assert len(story.entries) == 7
    assert story.lengths == ((NOON - timedelta(days=10), 20.0),)


def test_a_past_plan_knows_only_what_was_written_then(chart, clock) -> None:
    clock.move(hours=2)
    _fact(chart, clock, "sensitivities", ["chlorhexidine"])

    at = at_ward(chart, clock)
    before = replay_plan(at, "l-1", NOON)
    after = replay_plan(at, "l-1", clock.now())

    assert before.plan.antiseptic.agent == "chlorhexidine-alcohol"
    assert after.plan.antiseptic.agent == "povidone-iodine"
    assert before.is_on_record


def test_a_replay_says_when_the_policy_of_then_is_not_on_record(chart, clock) -> None:
    policies = ShippedPolicies(on_record=False)

    assert not replay_plan(at_ward(chart, clock, policies), "l-1", NOON).is_on_record


def test_there_is_no_plan_from_before_the_line_was_charted(chart, clock) -> None:
    with pytest.raises(ChartError) as caught:
        replay_plan(at_ward(chart, clock), "l-1", NOON - timedelta(days=2))

    assert _codes(caught) == {"at": "chart-not-yet-known"}
