"""Concerns are found, lived through and closed; none is lost on the way."""

from __future__ import annotations

from datetime import timedelta

import pytest
from tests.fakes.clock import NOON
from tests.unit.core.watch.watched_chart import watched

from lumenkeep.core.policy import load_policy
from lumenkeep.core.watch.concerns import pressing_first

HOUR = timedelta(hours=1)


ARM = {"arm": "at the side"}


@pytest.mark.parametrize(
    ("length", "rules"),
    [
        (26, []),
        (27, ["length-doubtful"]),
        (31, ["line-moved"]),
        (14, []),
        (13, ["length-doubtful"]),
        (9, ["line-moved"]),
    ],
)
def test_a_length_is_asked_back_before_it_raises_a_concern(length, rules) -> None:
    chart = watched(**ARM)
    chart.put("dressing-change", 5, external_length_mm=length, **ARM)

    assert chart.rules() == rules


@pytest.mark.parametrize("grams", [900, 9_000, 20_000, None])
def test_a_line_moves_no_sooner_in_a_child_of_any_mass(grams) -> None:
    chart = watched(**ARM)
    chart.entries = [e for e in chart.entries if e.kind != "weight"]
    if grams is not None:
        chart.weighs(grams)
    chart.put("dressing-change", 5, external_length_mm=26, **ARM)

    assert chart.rules() == []


def test_a_second_measurement_that_agrees_shows_a_shift() -> None:
    chart = watched(**ARM)
    for hours in (200, 150, 100):
        chart.put("dressing-change", hours, external_length_mm=20, **ARM)
    chart.put("dressing-change", 5, external_length_mm=27, **ARM)
    (asked,) = chart.concerns().values()
    assert (asked.rule, asked.hold) == ("length-doubtful", "")
    assert asked.says == (
        "27 mm, 7 mm longer than 20 mm at first (1 to 13 mm): more than measuring "
        "error usually makes."
    )
    assert asked.found.detail == (
        "Let another person measure again, with the arm at the side, before anything "
        "else is decided. If both agree, it has moved."
    )

    chart.put("site-check", 4, external_length_mm=28, **ARM)
    (moved,) = chart.concerns().values()
    assert moved.rule == "line-moved"
    assert moved.is_held


@pytest.mark.parametrize("is_taken_on", [False, True])
def test_a_second_measurement_that_does_not_agree_answers_the_question(
    is_taken_on,
) -> None:
    chart = watched(**ARM)
    for hours in (200, 150, 100):
        chart.put("dressing-change", hours, external_length_mm=20, **ARM)
    asked = chart.put("dressing-change", 5, external_length_mm=27, **ARM)
    assert chart.rules() == ["length-doubtful"]
    if is_taken_on:
        key = f"length-doubtful:{asked}"
        chart.put("concern-acknowledged", 4.5, concern=key, note="")
    chart.put("site-check", 4, external_length_mm=21, **ARM)

    # What somebody has taken on stays theirs until they close it.
    assert chart.rules() == ["length-doubtful"] * is_taken_on
    for one in chart.concerns().values():
        assert one.proposal.startswith("21 mm, 1 mm longer than 20 mm at first")


def test_a_question_asked_anew_is_a_new_one() -> None:
    chart = watched(**ARM)
    for hours in (200, 150, 100):
        chart.put("dressing-change", hours, external_length_mm=20, **ARM)
    chart.put("dressing-change", 50, external_length_mm=27, **ARM)
    chart.put("site-check", 49, external_length_mm=20, **ARM)
    anew = chart.put("dressing-change", 0.5, external_length_mm=14, **ARM)
    (one,) = chart.concerns().values()

    assert one.key == f"length-doubtful:{anew}"
    assert not one.is_overdue


def test_an_arm_that_nobody_charted_may_have_lain_otherwise() -> None:
    chart = watched()
    chart.put("dressing-change", 5, external_length_mm=32)

    assert chart.rules() == ["length-doubtful"]


def test_a_moved_line_must_not_be_used_until_its_tip_is_checked() -> None:
    chart = watched()
    number = chart.put("dressing-change", 0.5, external_length_mm=38)
    (concern,) = chart.concerns().values()

    assert concern.key == f"line-moved:{number}"
    assert concern.says == (
        "Moved 18 mm out from 20 mm at first (8 to 28 mm), between Sun 15 Nov, 18:00 "
        "and Wed 25 Nov, 17:30."
    )
    assert concern.found.short == "moved 18 mm out"
    assert concern.is_held
    assert concern.hold == "the tip has been checked"
    assert (concern.state, concern.who) == ("new", "charge-nurse")
    assert concern.by == NOON + HOUR / 2
    assert not concern.is_overdue


@pytest.mark.parametrize(("minutes", "is_overdue"), [(60, False), (61, True)])
def test_nobody_acting_in_time_escalates(minutes, is_overdue) -> None:
    chart = watched()
    chart.put("site-check", 3, signs=["discharge"])
    found = NOON - 3 * HOUR
    (pus,) = chart.concerns(found + timedelta(minutes=minutes)).values()

    assert pus.rule == "pus"
    assert pus.is_overdue is is_overdue
    assert pus.goes_to == ("educator" if is_overdue else "")


def test_the_same_finding_again_is_the_same_concern() -> None:
    chart = watched()
    first = chart.put("site-check", 30, signs=["red"])
    again = chart.put("site-check", 20, signs=["red"])
    (found,) = chart.found()

    assert found.key == f"site-inflamed:{first}"
    assert found.entries == (first, again)
    assert found.since == NOON - 30 * HOUR


def test_a_look_that_shows_it_no_more_proposes_closing_and_does_not_close() -> None:
    chart = watched()
    chart.put("site-check", 30, signs=["red"])
    chart.put("site-check", 6, signs=[])
    (concern,) = chart.concerns().values()

    assert concern.is_open
    assert concern.proposal == "Looked at again: no sign. (Wed 25 Nov, 12:00)"


def test_a_partial_look_proposes_nothing() -> None:
    chart = watched()
    chart.put("site-check", 30, signs=["red"])
    chart.put("dressing-change", 6, site="bleeding")
    (concern,) = chart.concerns().values()

    assert concern.proposal == ""


def test_found_again_after_a_better_look_takes_the_proposal_back() -> None:
    chart = watched()
    for ago, signs in ((30, ["red"]), (20, []), (10, ["red"])):
        chart.put("site-check", ago, signs=signs)
    (concern,) = chart.concerns().values()

    assert concern.proposal == ""


def test_a_line_taken_out_keeps_its_concern_until_it_is_closed() -> None:
    chart = watched()
    chart.put("site-check", 30, signs=["red"])
    chart.put("line-removed", 2, reason="no longer needed")
    (concern,) = chart.concerns().values()

    assert concern.is_open
    assert concern.proposal == "The line was taken out Wed 25 Nov, 16:00."


def test_found_again_after_closing_is_a_new_concern() -> None:
    chart = watched()
    first = chart.put("site-check", 40, signs=["red"])
    key = f"site-inflamed:{first}"
    chart.put("concern-closed", 30, concern=key, outcome="settled", note="gone")
    again = chart.put("site-check", 3, signs=["red"])
    concerns = chart.concerns()

    assert [(k, c.state) for k, c in concerns.items()] == [
        (key, "closed"),
        (f"site-inflamed:{again}", "new"),
    ]


def test_taken_on_it_is_that_persons_until_it_is_settled() -> None:
    chart = watched()
    number = chart.put("site-check", 3, signs=["discharge"])
    chart.put("concern-acknowledged", 2.5, concern=f"pus:{number}")
    (concern,) = chart.concerns().values()

    assert (concern.state, concern.who) == ("taken", "s-1")
    assert concern.by == NOON - 2.5 * HOUR + 8 * HOUR
    assert not concern.was_overdue


def test_taken_on_late_it_is_remembered_as_late() -> None:
    chart = watched()
    number = chart.put("site-check", 3, signs=["discharge"])
    chart.put("concern-acknowledged", 1.5, concern=f"pus:{number}")
    (concern,) = chart.concerns().values()

    assert (concern.is_overdue, concern.was_overdue) == (False, True)


def test_handing_on_asks_another_and_never_moves_the_end() -> None:
    chart = watched()
    number = chart.put("site-check", 9, signs=["discharge"])
    key = f"pus:{number}"
    chart.put("concern-acknowledged", 8.5, concern=key)
    chart.put("concern-handed-on", 1, concern=key, to="s-2", note="swab sent")
    (concern,) = chart.concerns().values()

    assert (concern.state, concern.who) == ("handed-on", "s-2")
    assert concern.by == NOON - 0.5 * HOUR
    assert concern.is_overdue


def test_handing_on_for_ever_comes_to_an_end() -> None:
    chart = watched()
    number = chart.put("site-check", 20, signs=["discharge"])
    for ago in range(19, 0, -1):
        chart.put("concern-handed-on", ago, concern=f"pus:{number}", to="s-2", note="x")
    (concern,) = chart.concerns().values()

    assert concern.by == NOON - 11 * HOUR
    assert concern.is_overdue


def test_a_closing_taken_back_opens_the_concern_again() -> None:
    chart = watched()
    number = chart.put("site-check", 9, signs=["discharge"])
    closing = chart.put(
        "concern-closed", 5, concern=f"pus:{number}", outcome="settled", note="x"
    )
    assert not chart.concerns()[f"pus:{number}"].is_open

    chart.put("withdrawn", 5, corrects=closing, because="another child")
    assert chart.concerns()[f"pus:{number}"].is_open


def test_an_entry_taken_back_takes_a_concern_nobody_acted_on_with_it() -> None:
    chart = watched()
    number = chart.put("site-check", 9, signs=["discharge"])
    chart.put("withdrawn", 9, corrects=number, because="another child")

    assert chart.found() == ()


def test_an_entry_taken_back_leaves_a_concern_that_was_acted_on() -> None:
    chart = watched()
    number = chart.put("site-check", 9, signs=["discharge"])
    act = {"concern": f"pus:{number}", "label": "Pus", "says": "Pus."}
    chart.put("concern-acknowledged", 8.5, **act)
    chart.put("withdrawn", 9, corrects=number, because="another child")
    (concern,) = chart.concerns().values()

    assert concern.is_open
    assert concern.says == "Pus."
    assert concern.proposal == (
        "The entry that showed it has been taken back or corrected."
    )


def test_a_correction_keeps_the_concern_that_was_acted_on() -> None:
    chart = watched()
    number = chart.put("site-check", 9, signs=["discharge"])
    chart.put("concern-acknowledged", 8.5, concern=f"pus:{number}")
    chart.put("site-check", 9, corrects=number, signs=["discharge"], note="typo")

    assert [(k, c.state) for k, c in chart.concerns().items()] == [
        (f"pus:{number}", "taken")
    ]


def test_a_confirmed_tip_makes_the_length_the_one_to_compare_with() -> None:
    chart = watched()
    number = chart.put("dressing-change", 48, external_length_mm=38, **ARM)
    chart.put(
        "concern-closed", 40, concern=f"line-moved:{number}",
        outcome="tip-confirmed", note="film",
    )  # fmt: skip
    chart.put("dressing-change", 20, external_length_mm=39, **ARM)
    assert not any(one.is_open for one in chart.concerns().values())

    chart.put("dressing-change", 2, external_length_mm=50, **ARM)
    (still,) = [one for one in chart.concerns().values() if one.is_open]
    assert still.found.short == "moved 12 mm out"


def test_any_other_end_leaves_the_length_to_compare_with() -> None:
    chart = watched()
    number = chart.put("dressing-change", 48, external_length_mm=38)
    chart.put(
        "concern-closed", 40, concern=f"line-moved:{number}",
        outcome="left", note="nobody looked",
    )  # fmt: skip
    chart.put("dressing-change", 20, external_length_mm=38)

    assert [one.state for one in chart.concerns().values()] == ["closed", "new"]


def test_no_length_at_insertion_raises_nothing_and_compares_later_ones() -> None:
    chart = watched(external_length_mm=None)
    chart.put("dressing-change", 100, external_length_mm=30)
    assert chart.rules() == []

    chart.put("dressing-change", 5, external_length_mm=48)
    assert chart.rules() == ["line-moved"]


def test_a_lost_stitch_is_counted_until_somebody_agrees_to_fewer() -> None:
    chart = watched(stitches=4)
    number = chart.put("dressing-change", 50, stitches=2)
    (lost,) = chart.found()
    assert lost.says == "2 stitches lost: 2 counted, 4 before."

    chart.put(
        "concern-closed", 40, concern=f"stitch-lost:{number}", outcome="left", note="x"
    )
    chart.put("dressing-change", 20, stitches=2)
    assert chart.rules() == ["stitch-lost"]

    chart.put("dressing-change", 5, stitches=1)
    assert chart.rules() == ["stitch-lost", "stitch-lost"]


@pytest.mark.parametrize(("grade", "is_raised"), [(0, False), (1, True), (4, True)])
def test_a_grade_raises_from_the_policys_grade_on(grade, is_raised) -> None:
    chart = watched()
    chart.put("site-check", 2, signs=[], grades={"infiltration": grade})

    assert ("infiltrated" in chart.rules()) is is_raised


def test_a_site_that_gets_worse_is_a_concern_of_its_own() -> None:
    chart = watched()
    for ago, signs in ((30, []), (20, ["red"]), (10, ["red", "hot"])):
        chart.put("site-check", ago, signs=signs)

    assert chart.rules() == ["site-inflamed", "site-worse"]


def test_every_worry_raised_by_hand_stands_alone() -> None:
    chart = watched()
    one = chart.put("concern-raised", 5, what="The arm looks bigger.")
    two = chart.put("concern-raised", 4, what="It leaks when flushed.")
    found = chart.found()

    assert [(f.key, f.says) for f in found] == [
        (f"raised-by-hand:{one}", "The arm looks bigger."),
        (f"raised-by-hand:{two}", "It leaks when flushed."),
    ]


@pytest.mark.parametrize("sign", ["blister", "skin-torn", "rash", "sodden"])
def test_injury_by_what_sticks_is_a_concern(sign) -> None:
    chart = watched()
    chart.put("site-check", 2, signs=[sign])

    assert chart.rules() == ["adhesive-injury"]


def test_overdue_stands_before_held_and_held_before_the_rest() -> None:
    chart = watched()
    chart.put("site-check", 0.1, signs=["rash"])
    chart.put("site-check", 0.1, signs=["discharge"])
    chart.put("site-check", 5, signs=["skin-broken"])
    ordered = sorted(chart.concerns().values(), key=pressing_first)

    assert [c.rule for c in ordered] == ["skin-broken", "pus", "adhesive-injury"]


@pytest.mark.parametrize("name", ["published", "quillmere", "us-guideline"])
def test_what_must_not_wait_says_until_when_the_line_is_not_used(name) -> None:
    held = {rule.id for rule in load_policy(name).concerns if rule.hold}

    assert held >= {"line-moved", "line-out", "line-broken", "pus", "limb-swollen"}


@pytest.mark.parametrize(
    ("told", "raised"),
    [
        ({"whole": False}, {"line-not-whole"}),
        ({"whole": None}, {"line-not-looked-at"}),
        ({"whole": True}, set()),
        ({}, set()),  # charted before anybody was asked
    ],
)
def test_a_line_that_is_out_and_not_whole_is_somebodys_to_act_on(told, raised) -> None:
    chart = watched()
    chart.put("line-removed", 2, reason="blocked", **told)

    assert set(chart.rules()) == raised
    # That the line is out is what raised it, and no reason to close it.
    assert [one.proposal for one in chart.concerns().values()] == [""] * len(raised)
