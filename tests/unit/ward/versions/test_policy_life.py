"""Which step of a version's life may follow which, and what is in force when."""

from __future__ import annotations

from datetime import timedelta
from itertools import count

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.fakes.clock import NOON

from lumenkeep.ward.site.people import StaffRecord
from lumenkeep.ward.versions.life import (
    LifeError,
    must_be_approvable,
    must_be_callable_off,
    must_be_startable,
    reigning,
    standing_of,
)
from lumenkeep.ward.versions.records import StepRecord

AGATE = StaffRecord("s-agate", "Demo Agate", "educator", None, None)
BERYL = StaffRecord("s-beryl", "Demo Beryl", "educator", None, None)
NURSE = StaffRecord("s-flint", "Demo Flint", "nurse", "kestrel", None)
NUMBERS = count(1)


def step(kind: str, version: int = 1, by: str = "s-agate", **more) -> StepRecord:
    return StepRecord(version, kind, by, **more, id=next(NUMBERS), at=NOON)


def start(version: int, hours: float, ward: str = "wren") -> StepRecord:
    return step("in-force", version, ward=ward, starts_at=NOON + timedelta(hours=hours))


DRAFTED, PROVED = step("drafted"), step("proved")
APPROVED = step("approved", by="s-beryl")


def codes(call) -> list[str]:
    with pytest.raises(LifeError) as refused:
        call()
    return [fault.code for fault in refused.value.faults]


def test_a_proved_version_is_approved_by_somebody_who_did_not_draft_it() -> None:
    must_be_approvable([DRAFTED, PROVED], BERYL)


@pytest.mark.parametrize(
    ("steps", "person", "code"),
    [
        ([DRAFTED], BERYL, "policy-life-not-proved"),
        ([DRAFTED, PROVED], AGATE, "policy-life-own-draft"),
        ([DRAFTED, PROVED], NURSE, "policy-life-no-right"),
        ([DRAFTED, PROVED, APPROVED], BERYL, "policy-life-approved-already"),
        ([PROVED, step("retired")], BERYL, "policy-life-retired"),
    ],
)
def test_an_approval_that_would_be_none_is_refused(steps, person, code: str) -> None:
    assert codes(lambda: must_be_approvable(steps, person)) == [code]


def test_whoever_edited_the_draft_in_between_does_not_approve_it_either() -> None:
    steps = [DRAFTED, step("drafted", by="s-beryl"), PROVED]

    assert codes(lambda: must_be_approvable(steps, BERYL)) == ["policy-life-own-draft"]


def test_an_approved_version_starts_now_or_later() -> None:
    for hours in (0, 5):
        must_be_startable(
            [PROVED, APPROVED], 1, ["wren"], NOON + timedelta(hours=hours), NOON
        )


@pytest.mark.parametrize(
    ("steps", "hours", "wards", "code"),
    [
        ([PROVED], 0, ["wren"], "policy-life-not-approved"),
        ([APPROVED], 0, [], "policy-life-no-ward"),
        ([APPROVED], -1, ["wren"], "policy-life-in-the-past"),
        ([APPROVED, start(2, 3)], 2, ["wren"], "policy-life-another-starts-later"),
        ([APPROVED, start(2, 2)], 2, ["wren"], "policy-life-another-starts-later"),
        ([APPROVED, start(1, -2)], 2, ["wren"], "policy-life-in-force-already"),
        ([APPROVED, step("retired")], 2, ["wren"], "policy-life-retired"),
    ],
)
def test_a_start_that_would_meet_another_is_refused(steps, hours, wards, code) -> None:
    at = NOON + timedelta(hours=hours)

    assert codes(lambda: must_be_startable(steps, 1, wards, at, NOON)) == [code]


def test_a_plan_on_one_ward_does_not_bind_another() -> None:
    must_be_startable([APPROVED, start(2, 3, "heron")], 1, ["wren"], NOON, NOON)


def test_the_start_begins_at_its_very_instant() -> None:
    steps = [start(1, 0), start(2, 4)]
    at = NOON + timedelta(hours=4)

    assert reigning(steps, "wren", at - timedelta(microseconds=1)).version == 1
    assert reigning(steps, "wren", at).version == 2
    assert reigning(steps, "wren", NOON - timedelta(microseconds=1)) is None
    assert reigning(steps, "heron", at) is None


def test_what_was_called_off_never_begins() -> None:
    planned = start(2, 4)
    steps = [start(1, 0), planned, step("called-off", 2, calls_off=planned.id)]

    assert reigning(steps, "wren", NOON + timedelta(hours=9)).version == 1


def test_a_ward_whose_version_is_retired_goes_back_to_the_set_it_names() -> None:
    end = step("retired", ward="wren", starts_at=NOON + timedelta(hours=2))
    steps = [start(1, 0), end, step("retired")]

    assert reigning(steps, "wren", NOON + timedelta(hours=1)).version == 1
    assert reigning(steps, "wren", NOON + timedelta(hours=2)) is None
    assert standing_of(steps, 1, NOON + timedelta(hours=3)).stage == "retired"


def test_only_what_has_not_begun_is_called_off() -> None:
    planned, begun = start(1, 3), start(2, 0)

    assert must_be_callable_off([begun, planned], planned.id, NOON) == planned
    for id_ in (begun.id, 999):
        assert codes(lambda i=id_: must_be_callable_off([begun, planned], i, NOON)) == [
            "policy-life-nothing-to-call-off"
        ]


def test_a_version_is_said_to_stand_where_it_stands() -> None:
    steps = [PROVED, APPROVED, start(1, 1), start(2, 5)]

    def stage(steps, hours: float) -> str:
        return standing_of(steps, 1, NOON + timedelta(hours=hours)).stage

    assert stage(steps[:1], 0) == "proved"
    assert stage(steps[:2], 0) == "approved"
    assert [stage(steps, hours) for hours in (0, 1, 5)] == [
        "planned",
        "in-force",
        "replaced",
    ]


@given(st.lists(st.tuples(st.integers(1, 4), st.integers(-3, 9)), max_size=12))
def test_whatever_the_rules_let_through_no_two_meet_at_one_instant(tried) -> None:
    """Each start that is let through is alone from its instant to the next."""
    steps = [step("approved", version) for version in (1, 2, 3, 4)]
    for version, hours in tried:
        at = NOON + timedelta(hours=hours)
        try:
            must_be_startable(steps, version, ["wren"], at, NOON)
        except LifeError:
            continue
        steps.append(start(version, hours))

    starts = [s.starts_at for s in steps if s.ward]
    assert starts == sorted(set(starts))
    for one in steps:
        if one.ward:
            assert reigning(steps, "wren", one.starts_at) == one
