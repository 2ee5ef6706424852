"""Check values K49 to K53: lengths, arm position, and the girth of an arm.

The cases were put together for this project from the sources named beside each; the
numbers of the policies tried are the cases' own.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from tests.fakes.chart import chart_with_a_line
from tests.fakes.clock import NOON, FixedClock

from lumenkeep.core.policy import Situation, load_policy
from lumenkeep.core.watch.concerns_found import found_concerns
from lumenkeep.core.watch.length import LengthRules, Limit, Measured, judge_lengths
from lumenkeep.core.watch.length_rules import length_rules
from lumenkeep.core.watch.length_words import arm_words, length_sentence
from lumenkeep.core.watch.site import girth
from lumenkeep.core.watch.site_looks import SiteLook
from lumenkeep.ward.chart.records import Draft

pytestmark = pytest.mark.external

AT = datetime(2025, 3, 1, 10, tzinfo=UTC)
ANY = Limit("any", "either", 0, is_above=True)
ONE_CM = Limit("one-cm", "either", 10, is_above=False)
MORE_THAN_TWO = Limit("more-than-two", "either", 20, is_above=True)


def judged(first_mm, last_mm, *limits, arms=(None, None)):
    rows = [
        Measured(1, AT, first_mm, arms[0]),
        Measured(2, AT + timedelta(days=7), last_mm, arms[1]),
    ]
    return judge_lengths(rows, LengthRules(limits))


@pytest.mark.parametrize(
    ("limit", "state"),
    [(ANY, "moved"), (ONE_CM, "moved"), (MORE_THAN_TWO, "no-shift-shown")],
)
def test_k49_two_centimetres_out_alerts_as_the_policy_says(limit, state) -> None:
    """No agreed number was found (INS 2021, Std 42, from memory; forum, adults)."""
    verdict = judged(30, 50, limit)

    assert verdict.state == state
    if verdict.shift:
        assert verdict.shift.mm == 20
        assert verdict.shift.is_outward


@pytest.mark.parametrize(
    ("limit", "state"),
    [(ANY, "moved"), (ONE_CM, "moved"), (MORE_THAN_TWO, "no-shift-shown")],
)
def test_k50_inward_alerts_on_the_size_of_the_change(limit, state) -> None:
    """45 % of newborn PICCs had moved at 24 h, inward as well as outward (MSPR 2012)."""
    verdict = judged(40, 25, limit)

    assert verdict.state == state
    if verdict.shift:
        assert verdict.shift.mm == -15
        assert not verdict.shift.is_outward


def test_k51_no_baseline_is_cannot_judge_and_not_no_change() -> None:
    """Compare with the length at insertion (INS 2021, from memory)."""
    one = [Measured(1, AT, 30.0)]

    for rows in ([], one):
        verdict = judge_lengths(rows, LengthRules((ANY,)), has_baseline=False)
        assert verdict.state == "cannot-judge"
        assert length_sentence(verdict, UTC).startswith("Cannot judge")


def test_k52_unchanged_with_another_arm_raises_nothing_but_says_the_tip_moves() -> None:
    """Connolly and others, Pediatric Radiology 36 (2006) 845: 2.2 rib spaces."""
    verdict = judged(30, 30, ANY, ONE_CM, arms=("at the side", "bent"))
    chart = chart_with_a_line(FixedClock())
    case = chart.line("l-1").state.case
    book = load_policy("quillmere").on(NOON.date())
    note = length_rules(book, Situation(case, NOON)).arm_note

    assert verdict.state == "no-shift-shown"
    assert verdict.arm == "other"
    assert "2.2 rib spaces" in arm_words(verdict, note)


@pytest.mark.parametrize(
    ("signs", "is_raised"), [(["limb-swollen"], True), ([], False)]
)
def test_k53_a_thicker_arm_flags_only_with_swelling_as_adult_evidence(
    signs, is_raised
) -> None:
    """3 cm with oedema went with upper-arm clots in adults (INS 2016, from memory)."""
    arm = girth([SiteLook(1, AT, girth_mm=180.0), SiteLook(2, AT, girth_mm=210.0)])
    assert arm is not None
    assert arm.rise_mm == 30
    assert f"{arm.share:.1%}" == "16.7%"

    chart = chart_with_a_line(FixedClock())
    for days, mm, seen in ((3, 180, []), (1, 210, signs)):
        body = {"signs": seen, "arm_girth_mm": mm}
        at = NOON - timedelta(days=days)
        chart.append([Draft("c-1", "l-1", "site-check", at, "s-1", body)], "quillmere")
    policy = load_policy("quillmere")
    case = chart.line("l-1").state.case
    found = found_concerns(
        chart.entries("l-1"),
        lambda entry: policy.on(entry.happened_at.date()),
        Situation(case, NOON).later,
        UTC,
    )

    thicker = [one for one in found if one.duty.rule == "arm-thicker"]
    assert bool(thicker) is is_raised
    assert all("adults" in one.duty.label for one in thicker)
