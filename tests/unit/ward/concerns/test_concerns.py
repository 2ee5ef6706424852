"""Concerns are listed, taken on, handed on, closed and raised; and by whom they may be."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from tests.fakes.at_ward import PEOPLE, at_ward, sent
from tests.fakes.by_hand import chart_look
from tests.fakes.chart import FakeChart, ShippedPolicies, chart_with_a_line
from tests.fakes.clock import NOON, FixedClock
from tests.fakes.concern_source import FakeConcernSource

from lumenkeep.core.entries import every_kind
from lumenkeep.core.policy import load_policy
from lumenkeep.demo.hospital import HERON, KESTREL
from lumenkeep.errors import ChartError
from lumenkeep.ward.chart.charting.chart_entry import bedside_of
from lumenkeep.ward.chart.charting.form_fields import asked_of
from lumenkeep.ward.chart.line_at_hand import line_at_hand
from lumenkeep.ward.chart.records import Draft
from lumenkeep.ward.concerns.actions import (
    acknowledge_concern,
    close_concern,
    concern_at_hand,
    hand_concern_on,
    outcomes_for,
    raise_concern,
)
from lumenkeep.ward.concerns.lengths import watch_line
from lumenkeep.ward.concerns.listing import concerns_between, ward_concerns

POLICIES = ShippedPolicies()
NURSE, CHARGE = PEOPLE["s-flint"], PEOPLE["s-basalt"]
HOUR = timedelta(hours=1)


class Bedside:
    """A line on which something was found, and the services about it."""

    def __init__(self) -> None:
        self.clock = FixedClock()
        self.chart: FakeChart = chart_with_a_line(self.clock)
        self.at = at_ward(self.chart, self.clock)

    def finds(self, hours_ago: float = 0.5, **body) -> str:
        at = self.clock.at - timedelta(hours=hours_ago)
        draft = Draft("c-1", "l-1", "site-check", at, "s-flint", body)
        (entry,) = self.chart.append([draft], "quillmere")
        return f":{entry.id}"

    def state(self, key: str):
        return concern_at_hand(self.at, "l-1", key).concern

    def take(self, key: str, by=NURSE, **more):
        told = sent(by=by, **more)
        return acknowledge_concern(self.at, told, line="l-1", concern=key)

    def close(self, key: str, by=CHARGE, **typed):
        return close_concern(self.at, sent(typed, by), line="l-1", concern=key)

    def listed(self):
        source = FakeConcernSource(self.chart)
        return ward_concerns(source, POLICIES, KESTREL, self.clock.at)


def codes(caught) -> list[str]:
    return [fault.code for fault in caught.value.faults]


def test_a_concern_is_taken_on_and_becomes_that_persons() -> None:
    bed = Bedside()
    key = "pus" + bed.finds(signs=["discharge"])
    (entry,) = bed.take(key)

    assert entry.body["concern"] == key
    assert entry.body["says"] == "Pus or other discharge."
    assert (bed.state(key).state, bed.state(key).who) == ("taken", "s-flint")


def test_a_form_sent_twice_takes_on_once() -> None:
    bed = Bedside()
    key = "pus" + bed.finds(signs=["discharge"])

    assert bed.take(key, submission="f-1") == bed.take(key, submission="f-1")
    assert len(bed.state(key).acts) == 1


def test_a_nurse_may_not_release_a_line_that_must_not_be_used() -> None:
    bed = Bedside()
    key = "pus" + bed.finds(signs=["discharge"])
    with pytest.raises(ChartError) as caught:
        bed.close(key, by=NURSE, outcome="settled", note="gone")

    assert codes(caught) == ["chart-not-yours"]
    assert bed.state(key).is_open


def test_a_nurse_may_close_what_holds_no_line() -> None:
    bed = Bedside()
    key = "site-inflamed" + bed.finds(signs=["red"])
    bed.close(key, by=NURSE, outcome="settled", note="gone the next morning")

    assert bed.state(key).outcome == "settled"
    assert bed.listed() == ()


def test_closing_needs_an_outcome_and_a_word_and_says_both_at_once() -> None:
    bed = Bedside()
    key = "site-inflamed" + bed.finds(signs=["red"])
    with pytest.raises(ChartError) as caught:
        bed.close(key, outcome="", note="")

    assert codes(caught) == ["chart-missing", "chart-missing"]


def test_a_checked_tip_ends_a_moved_line_only() -> None:
    bed = Bedside()
    red = "site-inflamed" + bed.finds(signs=["red"], external_length_mm=40)
    moved = red.replace("site-inflamed", "line-moved")

    assert "tip-confirmed" in outcomes_for(bed.state(moved))
    assert "tip-confirmed" not in outcomes_for(bed.state(red))


@pytest.mark.parametrize("act", ["take", "close"])
def test_a_closed_concern_is_not_acted_on_again(act) -> None:
    bed = Bedside()
    key = "site-inflamed" + bed.finds(signs=["red"])
    bed.close(key, outcome="settled", note="gone")
    with pytest.raises(ChartError) as caught:
        getattr(bed, act)(key)

    assert codes(caught) == ["chart-concern-closed"]


def test_a_concern_that_is_not_there_is_named_as_such() -> None:
    with pytest.raises(ChartError) as caught:
        Bedside().take("pus:999")

    assert codes(caught) == ["chart-no-such-concern"]


def test_handing_on_needs_somebody_of_the_ward_and_what_they_must_know() -> None:
    bed = Bedside()
    key = "pus" + bed.finds(signs=["discharge"])

    def hand_on(**typed):
        return hand_concern_on(bed.at, sent(typed, NURSE), line="l-1", concern=key)

    with pytest.raises(ChartError) as caught:
        hand_on(to="s-onyx", note="")
    assert codes(caught) == ["chart-unknown-word", "chart-missing"]

    hand_on(to="s-chalk", note="Swab sent, answer by noon.")
    assert (bed.state(key).state, bed.state(key).who) == ("handed-on", "s-chalk")
    hand_on(to="charge-nurse", note="Nobody free.")
    assert bed.state(key).who == "charge-nurse"


def test_a_worry_in_ones_own_words_is_listed_at_once() -> None:
    bed = Bedside()
    raise_concern(bed.at, sent({"what": "His arm looks bigger."}, NURSE), line="l-1")
    (listed,) = bed.listed()

    assert listed.concern.says == "His arm looks bigger."
    assert (listed.line, listed.child, listed.bed) == ("l-1", "c-1", "04")


def test_a_worry_without_words_is_refused() -> None:
    with pytest.raises(ChartError) as caught:
        raise_concern(Bedside().at, sent({"what": " "}, NURSE), line="l-1")

    assert codes(caught) == ["chart-missing"]


def test_a_concern_of_a_line_taken_out_stays_on_the_list() -> None:
    bed = Bedside()
    bed.finds(signs=["red"])
    out = Draft("c-1", "l-1", "line-removed", bed.clock.at, "s-1", {"reason": "x"})
    bed.chart.append([out], "quillmere")

    (listed,) = bed.listed()
    assert listed.record.state.removed_at == bed.clock.at


def test_the_rules_of_then_judge_what_was_found_then() -> None:
    class Stricter(ShippedPolicies):
        """A policy of now that no longer knows the rule about redness."""

        def in_force(self, name, ward=None):
            policy = super().in_force(name, ward)
            kept = tuple(c for c in policy.concerns if c.id != "site-inflamed")
            return replace(policy, concerns=kept)

    bed = Bedside()
    bed.finds(signs=["red"])
    source = FakeConcernSource(bed.chart)

    assert len(ward_concerns(source, Stricter(), KESTREL, NOON)) == 1
    unrecorded = Stricter(on_record=False)
    assert ward_concerns(source, unrecorded, KESTREL, NOON) == ()


def test_what_came_before_any_rules_is_judged_by_those_of_now() -> None:
    class NoneThen(ShippedPolicies):
        """No rule about concerns was on record when the entry was written."""

        def in_force_at(self, name, at, ward=None):
            return replace(super().in_force(name, ward), concerns=())

    bed = Bedside()
    bed.finds(signs=["red"])

    assert (
        len(ward_concerns(FakeConcernSource(bed.chart), NoneThen(), KESTREL, NOON)) == 1
    )


def test_a_number_that_starts_later_does_not_hide_what_was_found_before(
    tmp_path,
) -> None:
    late = """
[set]
id = "late"
title = "A set of the tests"
version = "1"
extends = "quillmere"
call = "whoever is on call in this example"

[number.act-same-hour]
means = "somebody acts within this time"
unit = "min"
values = [{ from = 2030-01-01, value = 30, source = "common-practice" }]
"""
    (tmp_path / "set.toml").write_text(late)

    class Late(ShippedPolicies):
        """A set in which a time to act is not in force yet."""

        def in_force(self, name, ward=None):
            return load_policy(str(tmp_path))

        def in_force_at(self, name, at, ward=None):
            return load_policy(str(tmp_path))

    bed = Bedside()
    bed.finds(signs=["red"])
    (listed,) = ward_concerns(FakeConcernSource(bed.chart), Late(), KESTREL, NOON)

    assert listed.concern.by == listed.concern.since + HOUR / 2


def test_a_period_has_what_was_found_in_it_and_what_was_still_open() -> None:
    bed = Bedside()
    old = "site-inflamed" + bed.finds(60, signs=["red"])
    bed.finds(30, signs=["discharge"])
    bed.close(old, outcome="settled", note="gone")
    source = FakeConcernSource(bed.chart)

    def between(first, last, ward=KESTREL):
        found = concerns_between(
            source, POLICIES, ward, NOON + first * HOUR, NOON + last * HOUR
        )
        return [(one.concern.rule, one.concern.state) for one in found]

    assert between(-48, -20) == [("site-inflamed", "new"), ("pus", "new")]
    assert between(-20, 1) == [("site-inflamed", "closed"), ("pus", "new")]
    assert between(1, 5) == [("pus", "new")]
    assert between(-90, -61) == []
    assert between(-48, 1, ward=HERON) == []


def test_watching_a_line_tells_its_lengths_and_its_concerns() -> None:
    bed = Bedside()
    bed.finds(signs=[], external_length_mm=38)
    line = line_at_hand(bed.at, "l-1")
    seen = watch_line(line, bed.chart.entries("l-1"), POLICIES, NOON)

    assert seen.sentence.startswith("Moved 18 mm out")
    assert [one.rule for one in seen.open_concerns] == ["line-moved"]
    assert seen.length_found_at == (NOON - HOUR / 2,)


def look(bed: Bedside, signs, **typed):
    return chart_look(
        bed.chart,
        POLICIES,
        bed.clock,
        line="l-1",
        signs=signs,
        typed=typed,
        by="s-flint",
    )


def test_a_look_is_charted_with_all_that_was_measured() -> None:
    bed = Bedside()
    (entry,) = look(
        bed, ["red", "limb-swollen"],
        **{"chart-external-length": "21", "chart-arm": "bent", "arm-girth": "184",
           "grade-infiltration": "2", "chart-stitches": "0", "note": "warm hand"},
    )  # fmt: skip

    assert entry.kind == "site-check"
    assert entry.body == {
        "signs": ["red", "limb-swollen"],
        "grades": {"infiltration": 2},
        "external_length_mm": 21.0,
        "stitches": 0,
        "arm": "bent",
        "arm_girth_mm": 184.0,
        "note": "warm hand",
    }


def test_a_healthy_site_is_charted_as_no_sign() -> None:
    (entry,) = look(Bedside(), ["healthy"])

    assert entry.body == {"signs": []}


@pytest.mark.parametrize(
    ("signs", "typed", "expected"),
    [
        ([], {}, ["chart-missing"]),
        (["healthy", "red"], {}, ["chart-contradiction"]),
        (["purple"], {}, ["chart-unknown-word"]),
        (["red"], {"arm-girth": "18"}, ["chart-out-of-range"]),
        (["red"], {"arm-girth": "40"}, []),
        (["red"], {"arm-girth": "601"}, ["chart-out-of-range"]),
        (["red"], {"grade-infiltration": "5"}, ["chart-out-of-range"]),
        (["red"], {"looked-at": "2026-11-26 08:00"}, ["chart-in-the-future"]),
    ],
)
def test_a_faulty_look_says_what_is_wrong(signs, typed, expected) -> None:
    if not expected:
        assert look(Bedside(), signs, **typed)
        return
    with pytest.raises(ChartError) as caught:
        look(Bedside(), signs, **typed)

    assert codes(caught) == expected


def test_only_scales_for_this_child_are_asked() -> None:
    bed = Bedside()
    look_at = every_kind()["site-check"]
    at_bed = bedside_of(bed.at, "l-1", look_at)
    asked = asked_of(look_at, at_bed)

    assert [one.part for one in asked if one.name.startswith("grade-")] == [
        "infiltration",
        "phlebitis",
        "pain-watched",
        "pain-faces",
    ]
