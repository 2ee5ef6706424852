"""Laws of watching: what must hold for any lengths, any looks and any order of acts."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.fakes.clock import NOON
from tests.unit.core.watch.watched_chart import watched

from lumenkeep.core.watch.length import LengthRules, Limit, Measured, judge_lengths
from lumenkeep.core.watch.length_evidence import Evidence, hear
from lumenkeep.core.watch.length_values import MeasuringError

ERROR = MeasuringError(sd=2.0, other_arm_sd=4.0, usual_move=15.0, moves=0.1)
RULES = LengthRules(
    (Limit("ten", "either", 10, is_above=False),), ERROR, compares_arms=True,
    false_alarm=0.02,
)  # fmt: skip
START = datetime(2026, 11, 1, tzinfo=UTC)
MM = st.integers(10, 90).map(float)
LENGTHS = st.lists(MM, min_size=1, max_size=9)
ARMS = st.sampled_from([None, "at the side", "bent"])
ARMED = st.lists(st.tuples(MM, ARMS), min_size=2, max_size=7)
SIGNS = st.lists(
    st.sampled_from(["red", "hot", "discharge", "rash", "fever"]), unique=True
)


def shift_evidence(lengths, arms, error) -> Evidence:
    """Return the evidence for one step in all of the lengths (mm)."""
    return hear(lengths, arms, error, [len(lengths)]).evidence(0)


def rows(pairs) -> list[Measured]:
    return [
        Measured(n, START + timedelta(days=n), mm, arm)
        for n, (mm, arm) in enumerate(pairs)
    ]


@given(ARMED, st.integers(0, 300))
def test_adding_a_constant_to_all_lengths_changes_nothing(pairs, more) -> None:
    one = judge_lengths(rows(pairs), RULES)
    other = judge_lengths(rows([(mm + more, arm) for mm, arm in pairs]), RULES)

    assert one.state == other.state
    assert one.ratio == pytest.approx(other.ratio, rel=1e-6)
    if one.shift and other.shift:
        assert one.shift.mm == pytest.approx(other.shift.mm)


@given(ARMED)
def test_outward_and_inward_are_each_others_mirror(pairs) -> None:
    one = judge_lengths(rows(pairs), RULES)
    other = judge_lengths(rows([(100 - mm, arm) for mm, arm in pairs]), RULES)

    assert one.state == other.state
    assert one.ratio == pytest.approx(other.ratio, rel=1e-6)
    if one.shift and other.shift:
        assert one.shift.mm == pytest.approx(-other.shift.mm)
        assert one.shift.after.entry == other.shift.after.entry


@given(st.lists(st.tuples(MM, ARMS), min_size=2, max_size=4), st.randoms())
def test_the_order_in_which_lengths_come_in_does_not_matter(pairs, chance) -> None:
    told = rows(pairs)
    mixed = list(told)
    chance.shuffle(mixed)

    assert judge_lengths(mixed, RULES) == judge_lengths(told, RULES)


@given(LENGTHS)
def test_a_change_at_the_limit_always_alerts(lengths) -> None:
    verdict = judge_lengths(rows([(mm, None) for mm in lengths]), RULES)

    if abs(lengths[-1] - lengths[0]) >= 10:
        assert verdict.state == "moved"


@given(LENGTHS)
def test_what_moved_says_between_which_two_measurements(lengths) -> None:
    verdict = judge_lengths(rows([(mm, None) for mm in lengths]), RULES)

    if verdict.shift is not None:
        assert verdict.shift.after.at < verdict.shift.before.at
        assert verdict.shift.low_mm <= verdict.shift.mm <= verdict.shift.high_mm


@given(LENGTHS)
def test_evidence_is_positive_and_its_weights_are_shares(lengths) -> None:
    found = shift_evidence(lengths, [None] * len(lengths), ERROR)

    assert found.ratio > 0
    if found.steps:
        assert sum(step.weight for step in found.steps) == pytest.approx(1)


@given(MM, st.integers(2, 9))
def test_lengths_all_alike_never_speak_for_a_shift(mm, count) -> None:
    assert shift_evidence([mm] * count, [None] * count, ERROR).ratio <= 1


@settings(max_examples=40)
@given(st.lists(SIGNS, min_size=1, max_size=5))
def test_no_concern_is_lost_when_later_looks_are_charted(looks) -> None:
    chart = watched()
    keys: set[str] = set()
    for number, signs in enumerate(looks):
        chart.put("site-check", 50 - 5 * number, signs=signs)
        now = set(chart.concerns())
        assert keys <= now
        keys = now


@settings(max_examples=40)
@given(st.lists(SIGNS, min_size=1, max_size=4), st.booleans())
def test_only_a_person_closes_a_concern(looks, is_out) -> None:
    chart = watched()
    for number, signs in enumerate(looks):
        chart.put("site-check", 50 - 5 * number, signs=signs)
    if is_out:
        chart.put("line-removed", 1, reason="no longer needed")

    assert all(one.is_open for one in chart.concerns().values())
    assert all(
        one.is_open for one in chart.concerns(NOON + timedelta(days=400)).values()
    )


@settings(max_examples=30)
@given(st.lists(SIGNS.filter(bool), min_size=1, max_size=3))
def test_time_alone_never_makes_a_concern_less_pressing(looks) -> None:
    chart = watched()
    for number, signs in enumerate(looks):
        chart.put("site-check", 50 - 5 * number, signs=signs)
    hours = [NOON + timedelta(hours=n) for n in (0, 6, 60)]

    for key in chart.concerns():
        overdue = [chart.concerns(at)[key].is_overdue for at in hours]
        assert overdue == sorted(overdue)


def test_the_order_of_reading_entries_does_not_matter() -> None:
    chart = watched()
    first = chart.put("site-check", 30, signs=["red"])
    chart.put("concern-acknowledged", 29, concern=f"site-inflamed:{first}")
    chart.put("dressing-change", 5, external_length_mm=38)
    told = chart.concerns()

    for some in list(permutations(chart.entries))[::17]:
        mixed = replace(chart, entries=list(some))
        assert mixed.concerns() == told
